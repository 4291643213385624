// The screens of the panel: what a mark changes on them, and which one is shown.

import { namesOf } from "../ranges.js";
import { Remembered } from "./remembered.js";

const isDone = (section) => section.dataset.done === "yes";

const rowOf = (range) => range.slice(0, range.lastIndexOf(":"));

// A run is named by the holes that are left of it: with some set, it is still the same.
function isSame(was, now) {
  if (was.stage === now.stage) return true;
  if (was.kind !== "run" || now.kind !== "run" || was.row !== now.row) return false;
  const before = new Set(namesOf(was.lit));
  return namesOf(now.lit).every((name) => before.has(name));
}

export class Stages {
  constructor(panel, assembly) {
    this.panel = panel;
    this.last = null;
    this.memory = new Remembered(assembly, panel.dataset.step);
    Object.assign(this, this.memory.read());
  }

  keep() {
    this.memory.write(this);
  }

  turnSingle() {
    this.isSingle = !this.isSingle;
    this.keep();
  }

  leave(run) {
    this.later.add(run);
    this.keep();
  }

  get all() {
    return [...this.panel.querySelectorAll("[data-stage]")];
  }

  get shown() {
    return this.panel.querySelector("[data-stage]:not([hidden])");
  }

  of(kind) {
    return this.all.find((one) => one.dataset.kind === kind);
  }

  runs() {
    return this.all.filter((one) => one.dataset.kind === "run");
  }

  // The first that is not done with; runs left for later come again at the end.
  current() {
    const left = this.all.filter((one) => !isDone(one) && !this.isCounted(one));
    const now = left.filter((one) => !this.later.has(one.dataset.run));
    const isOver = now.every((one) => one.dataset.kind === "finish");
    if (isOver && left.length > now.length) {
      this.later.clear();
      return left[0];
    }
    return now[0];
  }

  // A tray is counted once, also where part of its run is set by now; single rivets
  // are not counted at all.
  isCounted(section) {
    if (section.dataset.kind !== "tray") return false;
    return this.isSingle || Boolean(this.countOf(section.dataset.run));
  }

  countOf(run) {
    const section = this.runs().find((one) => one.dataset.run === run);
    const holes = [...(section?.querySelectorAll('[name="but"]') ?? [])];
    return this.counted.find(({ ids }) => holes.every((chip) => ids.has(chip.value)));
  }

  count(section, form, submitter) {
    const run = this.runs().find((one) => one.dataset.run === section.dataset.run);
    const ids = new Set([...run.querySelectorAll('[name="but"]')].map((chip) => chip.value));
    const tray = submitter?.matches(".pass") ? "" : form.elements.tray.value;
    this.counted.push({ ids, tray, begun: new Date().toISOString() });
    this.keep();
  }

  // What was counted goes with the run that is shown.
  fill(section) {
    const form = section.querySelector(".run-form");
    const count = form && this.countOf(section.dataset.run);
    if (!count) return;
    const holes = section.querySelectorAll('[name="but"]').length;
    form.elements.begun.value = holes === count.ids.size ? count.begun : "";
    form.elements["whole.tray_count"].value = holes === count.ids.size ? count.tray : "";
  }

  show() {
    const next = this.current();
    for (const one of this.all) one.hidden = one !== next;
    const was = this.last;
    this.last = next.dataset;
    return { section: next, isNew: !was || !isSame(was, next.dataset) };
  }

  // What to press next on the screen that is shown.
  primary() {
    const buttons = [...(this.shown?.querySelectorAll(".primary") ?? [])];
    return buttons.find((button) => {
      const line = button.closest("[data-line]");
      return !button.disabled && (!line || !isDone(line));
    });
  }

  // Shows what a mark changes before the laptop has answered.
  apply(mark) {
    const act = {
      "step-begun": () => this.finish("begin"),
      "left-open": () => this.tick(`open ${mark.body.holes.join(" ")}`, mark.body.is_marked),
      "gate-ticked": () => this.tick(`${mark.body.gate} ${mark.body.line}`, mark.body.is_ticked),
      "rivets-set": () => this.set(mark.body.holes),
    }[mark.kind];
    return act?.();
  }

  finish(kind) {
    const section = this.of(kind);
    if (section) section.dataset.done = "yes";
  }

  tick(name, isTicked) {
    const line = [...this.panel.querySelectorAll("[data-line]")].find(
      (one) => one.dataset.line === name,
    );
    if (!line) return;
    line.dataset.done = isTicked ? "yes" : "no";
    const button = line.querySelector("button");
    if (button?.hasAttribute("aria-pressed")) {
      button.setAttribute("aria-pressed", isTicked ? "true" : "false");
      const field = line.querySelector('[name="body"]');
      field.value = JSON.stringify({ ...JSON.parse(field.value), is_ticked: !isTicked });
    } else if (button) button.disabled = isTicked;
    const section = line.closest("[data-stage]");
    const lines = [...section.querySelectorAll("[data-line]")];
    section.dataset.done = lines.every(isDone) ? "yes" : "no";
  }

  // Holes that are set leave their runs; gives the run that is over with this, if any.
  set(ranges) {
    const holes = new Set(ranges.flatMap((range) => namesOf(range)));
    let over = null;
    const rows = new Set(ranges.map(rowOf));
    for (const section of this.runs()) {
      if (!rows.has(rowOf(section.dataset.run))) continue;
      const chips = [...section.querySelectorAll('[name="but"]')];
      const some = chips.filter((chip) => holes.has(chip.value));
      for (const chip of some) chip.closest("label").remove();
      if (!some.length) continue;
      this.addTo(section, some.length);
      if (some.length === chips.length) {
        this.close(section);
        over = section;
      } else this.shorten(section);
    }
    return over;
  }

  // Every run of a set-up says how far the set-up is.
  addTo(section, more) {
    const { setup } = section.querySelector(".run-count").dataset;
    for (const one of this.panel.querySelectorAll(".run-count")) {
      if (one.dataset.setup !== setup) continue;
      one.dataset.done = Number(one.dataset.done) + more;
      one.textContent = one.dataset.words.replace("{done}", one.dataset.done);
    }
  }

  close(section) {
    for (const one of this.all) {
      if (one.dataset.run === section.dataset.run) one.dataset.done = "yes";
    }
  }

  shorten(section) {
    const left = [...section.querySelectorAll('[name="but"]')];
    for (const chip of left) chip.checked = false;
    const field = section.querySelector('.run-form [name="body"]');
    const holes = left.map((chip) => chip.value);
    field.value = JSON.stringify({ ...JSON.parse(field.value), holes });
    section.dataset.lit = left.map((chip) => chip.dataset.name).join(" ");
  }
}
