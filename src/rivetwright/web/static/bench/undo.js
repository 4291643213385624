// Taking back with one tap, and the small words that tell what was kept.

import { namedHoles } from "./marks.js";

const TOLD_MS = 5000;

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
    this.toast = root.querySelector(".toast");
    this.takenBack = new Set();
    this.target = null;
    this.timer = 0;
  }

  get button() {
    return this.root.querySelector(".undo button");
  }

  isTakenBack(id) {
    return this.takenBack.has(id);
  }

  // A panel from the laptop names the last rivets set; a mark of this page is newer.
  fresh(panel, waiting) {
    for (const { mark } of waiting) if (mark.kind === "undone") this.takenBack.add(mark.body.fact);
    const field = panel.querySelector('.undo [name="body"]');
    if (!field) return;
    const { fact } = JSON.parse(field.value);
    const names = panel.querySelector(".undo button").dataset.holes;
    const served = fact && !this.isTakenBack(fact) ? { id: fact, words: names } : null;
    if (!this.target || this.isTakenBack(this.target.id)) this.target = served;
    this.write();
  }

  last(mark, words) {
    this.target = { id: mark.id, words };
    this.write();
  }

  write() {
    const { button, target } = this;
    if (!button) return;
    button.disabled = !target;
    button.textContent = target ? button.dataset.words.replace("{holes}", target.words) : button.dataset.none;
  }

  body() {
    if (!this.target) return null;
    this.takenBack.add(this.target.id);
    return { fact: this.target.id, reason: "" };
  }

  // Holes of a mark that was taken back, as they were before it.
  before(words) {
    const names = (words ?? "").split(/[\s,]+/).flatMap((range) => {
      const [, row, from, to = from] = /^([^:\s]+):(\d+)(?:-(\d+))?$/.exec(range) ?? [];
      if (!row) return [];
      return Array.from({ length: to - from + 1 }, (_, k) => `${row}:${Number(from) + k}`);
    });
    return Object.fromEntries(names.map((name) => [name, "drilled"]));
  }

  words(form, mark, rows) {
    if (mark.kind === "undone") return this.target.words;
    const names = ranges(namedHoles(mark.body.holes, rows));
    const pressed = form.querySelector("[type=submit]").innerText.trim().replace(/\s+/g, " ");
    return names || pressed;
  }

  // Holes typed by a name that the plan does not have: told at the field.
  cannotRead(form, body) {
    const field = form.elements.names;
    if (!field || body.holes) return false;
    field.setCustomValidity(this.root.dataset.unknown);
    field.addEventListener("input", () => field.setCustomValidity(""), { once: true });
    field.reportValidity();
    return true;
  }

  // A hole pressed on the map goes into every field that asks for holes.
  name(name) {
    for (const field of this.root.querySelectorAll('.more [name="names"]')) field.value = name;
    const part = this.root.querySelector("#one-hole");
    if (!part) return;
    part.open = true;
    part.scrollIntoView({ block: "nearest" });
  }

  told(form) {
    const what = form.closest(".part").querySelector("summary").textContent.trim();
    this.say(this.toast.dataset.kept.replace("{what}", what));
    form.reset();
  }

  flags(kept) {
    const codes = new Set(kept.flatMap((one) => one.flags));
    const why = [...codes].map((code) => this.toast.getAttribute(`data-flag-${code}`)).filter(Boolean);
    if (why.length) this.say(this.toast.dataset.older.replace("{why}", why.join("; ")));
  }

  say(words) {
    clearTimeout(this.timer);
    this.toast.textContent = words;
    this.toast.hidden = false;
    this.timer = setTimeout(() => (this.toast.hidden = true), TOLD_MS);
  }
}
