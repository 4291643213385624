// Taking back with one tap: the newest mark that is known, from whichever device.

import { namedHoles } from "./marks.js";
import { PAINTED } from "./paint.js";

// `A12:1 A12:2 A12:3` as `A12:1-3`.
export function ranges(names) {
  const made = [];
  for (const name of names) {
    const colon = name.lastIndexOf(":");
    const [row, number] = [name.slice(0, colon), Number(name.slice(colon + 1))];
    const last = made.at(-1);
    if (last?.row === row && last.to + 1 === number) last.to = number;
    else made.push({ row, from: number, to: number });
  }
  return made.map(({ row, from, to }) => (from === to ? `${row}:${from}` : `${row}:${from}-${to}`)).join(", ");
}

export class Undo {
  constructor(root) {
    this.root = root;
    this.takenBack = new Set();
    this.target = null;
  }

  get button() {
    return this.root.querySelector(".undo button");
  }

  isTakenBack(id) {
    return this.takenBack.has(id);
  }

  // A panel from the laptop names the newest mark it knows; those that it does not
  // know yet are shown after it, one by one, and are newer.
  fresh(panel, unseen) {
    for (const { mark } of unseen) if (mark.kind === "undone") this.takenBack.add(mark.body.fact);
    const field = panel.querySelector('.undo [name="body"]');
    if (!field) return;
    const { fact } = JSON.parse(field.value);
    const { kind, holes, what } = panel.querySelector(".undo button").dataset;
    const isThere = fact && !this.isTakenBack(fact);
    this.target = isThere ? { id: fact, kind, words: holes, what } : null;
    this.write();
  }

  last(mark, words) {
    this.target = { id: mark.id, kind: mark.kind, words, what: this.what(mark, words) };
    this.write();
  }

  // In words: the rivets A12:1-17, the last tick: Film off.
  what({ kind, body }, words) {
    const kinds = JSON.parse(this.button?.dataset.kinds ?? "{}");
    const isOne = body.holes?.length === 1 && !/:\d+-/.test(body.holes[0]);
    const name = (isOne && kinds[`${kind}-one`]) || kinds[kind] || "";
    return [name, words].filter(Boolean).join(body.holes?.length ? " " : ": ");
  }

  write() {
    const { button, target } = this;
    if (!button) return;
    button.disabled = !target;
    button.textContent = target ? button.dataset.words.replace("{what}", target.what) : button.dataset.none;
  }

  body() {
    if (!this.target) return null;
    this.takenBack.add(this.target.id);
    return { fact: this.target.id, reason: "" };
  }

  // Holes whose sign an undone mark had changed, as they were before it.
  before(words) {
    const names = (words ?? "").split(/[\s,]+/).flatMap((range) => {
      const [, row, from, to = from] = /^([^:\s]+):(\d+)(?:-(\d+))?$/.exec(range) ?? [];
      if (!row) return [];
      return Array.from({ length: to - from + 1 }, (_, k) => `${row}:${Number(from) + k}`);
    });
    return Object.fromEntries(names.map((name) => [name, "drilled"]));
  }

  // What is kept with a mark: the holes as the map names them, or what was pressed.
  words(form, mark, rows) {
    if (mark.kind === "undone") return this.target.kind in PAINTED ? this.target.words : "";
    const names = ranges(namedHoles(mark.body.holes, rows));
    if (names) return names;
    return form.querySelector("[type=submit]").innerText.trim().replace(/\s+/g, " ");
  }

  // A hole pressed on the map goes into every field that asks for holes.
  name(name) {
    for (const field of this.root.querySelectorAll('.more [name="names"]')) field.value = name;
    const part = this.root.querySelector("#one-hole");
    if (!part) return;
    part.open = true;
    part.scrollIntoView({ block: "nearest" });
  }
}
