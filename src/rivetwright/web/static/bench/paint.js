// Paints the state of holes on drawn maps: shape first, as the drawing has them.

import { tell } from "../bus.js";
import { namedHoles } from "./marks.js";

const SVG = "http://www.w3.org/2000/svg";
const EYE = 0.58;
const DOT = 0.26;
const BAR = 0.34;
const LINE = 0.16;
// What a mark makes of the sign of its holes.
export const PAINTED = { "rivets-set": "set", "hold-put": "hold", "rivet-removed": "drilled" };
const STATES = ["planned", "drilled", "set", "open", "hold"];

function made(tag, attributes) {
  const one = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
  return one;
}

function inside(state, r) {
  const eye = made("circle", { class: "sign eye", r: EYE * r, "stroke-width": LINE * r });
  if (state === "set") return [];
  if (state === "drilled") return [eye, made("circle", { class: "dot", r: DOT * r })];
  if (state === "open") {
    const bar = { class: "sign state-mark", d: `M${-1.3 * r} 0H${1.3 * r}`, "stroke-width": BAR * r };
    return [eye, made("path", bar)];
  }
  if (state === "hold") {
    const a = 0.92 * r;
    const d = `M${-a} ${-a}L${a} ${a}M${-a} ${a}L${a} ${-a}`;
    return [eye, made("path", { class: "sign state-mark", d, "stroke-width": 0.8 * BAR * r })];
  }
  return [eye];
}

// The bar or the cross of a drawn sign is the path that follows its eye.
function oldShapes(group, state) {
  const own = [...group.querySelectorAll(".eye, .dot, .state-mark")];
  if (state !== "open" && state !== "hold") return own;
  const mark = group.querySelector(".eye")?.nextElementSibling;
  return mark?.tagName === "path" ? [...own, mark] : own;
}

export function paintHole(group, state) {
  const now = STATES.find((one) => group.classList.contains(`state-${one}`));
  if (now === state || !STATES.includes(state)) return false;
  const ring = group.querySelector(".ring");
  for (const one of oldShapes(group, now)) one.remove();
  ring.after(...inside(state, Number(ring.getAttribute("r"))));
  group.classList.replace(`state-${now}`, `state-${state}`);
  return true;
}

export class Painter {
  constructor(root) {
    this.root = root;
    this.gather();
  }

  // Where each hole is drawn; a hole may be seen on one map or in one row only.
  gather() {
    this.groups = new Map();
    for (const group of this.root.querySelectorAll("svg .hole[data-hole]")) {
      this.groups.set(group.dataset.hole, group);
    }
  }

  // What a mark makes of its holes.
  mark({ kind, body }, rows) {
    const state = body.operation === "drilled" ? "drilled" : PAINTED[kind];
    if (!state) return;
    const names = namedHoles(body.holes, rows);
    this.paint(Object.fromEntries(names.map((name) => [name, state])));
  }

  paint(states) {
    const names = Object.keys(states).filter((name) => {
      const group = this.groups.get(name);
      return group && paintHole(group, states[name]);
    });
    if (names.length) tell("painted", { names });
  }
}
