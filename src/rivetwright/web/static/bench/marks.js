// A form read as a mark, as the server reads it where scripting is off.

import { namesOf } from "../ranges.js";
import { freshId } from "./queue.js";

const FORMS = {
  text: (values) => values.at(-1).trim() || undefined,
  whole: (values) => (values.at(-1).trim() ? Number(values.at(-1)) : undefined),
  list: (values) => values.filter((one) => one.trim()),
  yes: (values) => values.at(-1) === "yes",
};

export function bodyOf(form, rows) {
  const fields = new FormData(form);
  const body = JSON.parse(fields.get("body"));
  for (const name of new Set(fields.keys())) {
    const [how, field] = name.split(".");
    const value = field && FORMS[how]?.(fields.getAll(name));
    if (value !== undefined && field) body[field] = value;
  }
  if (fields.has("names")) body.holes = holesNamed(fields.get("names"), rows);
  const but = new Set(fields.getAll("but"));
  if (but.size) body.holes = body.holes.flatMap((one) => namesOf(one)).filter((one) => !but.has(one));
  const fresh = fields.get("fresh");
  if (fresh) body[fresh] = `${body[fresh].split("-")[0]}-${freshId().slice(0, 8)}`;
  const begun = Date.parse(fields.get("begun") ?? "");
  if (begun) body.run_s = Math.max(0, Math.round((Date.now() - begun) / 1000));
  return body;
}

const ONE_RANGE = /^([^:\s]+):(\d+)(?:-(\d+))?$/;
const parted = (written) => written.split(/[\s,]+/).filter(Boolean);

// `A12:18-20, A13:1` by the rows' permanent ids.
export function holesNamed(written, rows) {
  const ids = new Map(Object.entries(rows).map(([id, name]) => [name, id]));
  return parted(written).map((range) => {
    const [, row, first, last] = ONE_RANGE.exec(range) ?? [];
    return last ? `${ids.get(row)}:${first}-${last}` : `${ids.get(row)}:${first}`;
  });
}

// The first of the names written that the plan does not have, with its row if that is
// known; lasts: the last number of each row.
export function unknownHole(written, lasts) {
  for (const found of parted(written)) {
    const [, row, first, last = first] = ONE_RANGE.exec(found) ?? [];
    if (!row || !Object.hasOwn(lasts, row)) return { found, row: "" };
    const isThere = first >= 1 && Number(first) <= Number(last) && last <= lasts[row];
    if (!isThere) return { found, row };
  }
  return null;
}

// Holes of a mark by the names that the map and the person know.
export function namedHoles(holes, rows) {
  return (holes ?? []).flatMap((range) => namesOf(range)).map((id) => {
    const colon = id.lastIndexOf(":");
    return `${rows[id.slice(0, colon)] ?? "?"}${id.slice(colon)}`;
  });
}

export function markOf(kind, body, { assembly, revision, saw, clock_ms, version }) {
  const now = new Date();
  return {
    fact: 1,
    id: freshId(),
    kind,
    version: version ?? 1,
    assembly,
    happened: now.toISOString(),
    offset_min: -now.getTimezoneOffset(),
    clock_ms,
    revision,
    saw,
    body,
  };
}
