// The order of a step as a sequence that plays on its maps: one press, one run.

import { paintHole } from "./bench/paint.js";

const SVG = "http://www.w3.org/2000/svg";
const BEAT_MS = 1600;
const HOLDER = 1.15;
const NOW = 1.75;

function made(tag, attributes) {
  const one = document.createElementNS(SVG, tag);
  for (const [name, value] of Object.entries(attributes)) one.setAttribute(name, value);
  return one;
}

function stateOf(group) {
  return [...group.classList].find((one) => one.startsWith("state-"))?.slice("state-".length);
}

// Which holes are set and which have a holder after so many presses.
function standing(presses, count) {
  const set = new Set();
  const held = new Set();
  for (const one of presses.slice(0, count)) {
    for (const name of one.holes) {
      if (one.kind === "set") set.add(name);
      if (one.kind === "set" || one.kind === "out") held.delete(name);
      if (one.kind === "first" || one.kind === "in") held.add(name);
    }
  }
  return { set, held };
}

export function start(place) {
  const lines = [...place.querySelectorAll("[data-press]")];
  const presses = lines.map((line) => ({
    line,
    kind: line.dataset.kind,
    face: line.dataset.face,
    holes: line.dataset.holes ? line.dataset.holes.split(" ") : [],
  }));
  const figures = [...place.querySelectorAll(".order-map")];
  const groups = new Map();
  for (const group of place.querySelectorAll("svg .hole[data-hole]")) {
    groups.set(group.dataset.hole, { group, first: stateOf(group) });
  }
  const button = (name) => place.querySelector(`[data-play="${name}"]`);
  const play = button("play");
  const words = place.querySelector(".play-words");
  const told = place.querySelector(".play-at");
  let at = -1;
  let beat = 0;

  const sign = (group, name, tag, shape) => {
    const r = Number(group.querySelector(".ring").getAttribute("r"));
    const one = made(tag, { class: name, ...shape(r) });
    group.append(one);
  };

  const paint = () => {
    const { set, held } = standing(presses, at);
    const now = new Set(presses[at]?.holes ?? []);
    for (const [name, { group, first }] of groups) {
      paintHole(group, set.has(name) ? "set" : first);
      for (const one of group.querySelectorAll(".holder-sign, .now-ring")) one.remove();
      if (held.has(name)) {
        sign(group, "holder-sign", "rect", (r) => ({
          x: -HOLDER * r,
          y: -HOLDER * r,
          width: 2 * HOLDER * r,
          height: 2 * HOLDER * r,
          "stroke-width": 0.22 * r,
        }));
      }
      if (now.has(name)) {
        sign(group, "now-ring", "circle", (r) => ({ r: NOW * r, "stroke-width": 0.5 * r }));
      }
    }
  };

  // The faces that the press lies on; where it has no hole, the face of its card.
  const face = () => {
    const { face: own, holes = [] } = presses[at] ?? {};
    const has = (one) => holes.some((name) => one.contains(groups.get(name)?.group ?? null));
    const lit = new Set(figures.filter(has));
    if (!lit.size) figures.filter((one) => one.dataset.face === own).forEach((one) => lit.add(one));
    if (lit.size) for (const one of figures) one.hidden = !lit.has(one);
  };

  const show = (number, isAsked = true) => {
    at = Math.max(0, Math.min(presses.length - 1, number));
    presses.forEach(({ line }, k) => {
      line.classList.toggle("is-past", k < at);
      if (k === at) line.setAttribute("aria-current", "step");
      else line.removeAttribute("aria-current");
    });
    const line = presses[at].line;
    words.textContent = line.querySelector(".press-words").textContent;
    told.textContent = told.dataset.words
      .replace("{number}", at + 1)
      .replace("{count}", presses.length);
    button("back").disabled = at === 0;
    button("next").disabled = at === presses.length - 1;
    face();
    paint();
    if (isAsked) line.scrollIntoView({ block: "nearest" });
  };

  const stop = () => {
    clearInterval(beat);
    beat = 0;
    play.textContent = play.dataset.off;
    play.setAttribute("aria-pressed", "false");
  };

  const go = () => {
    if (at === presses.length - 1) show(0);
    beat = setInterval(() => {
      show(at + 1);
      if (at === presses.length - 1) stop();
    }, BEAT_MS);
    play.textContent = play.dataset.on;
    play.setAttribute("aria-pressed", "true");
  };

  const acts = {
    back: () => show(at - 1),
    next: () => show(at + 1),
    play: () => (beat ? stop() : go()),
  };
  for (const [name, act] of Object.entries(acts)) {
    button(name).addEventListener("click", () => {
      if (name !== "play") stop();
      act();
    });
  }
  presses.forEach(({ line }, k) => {
    line.addEventListener("click", (event) => {
      if (event.target.closest("a")) return;
      stop();
      show(k);
    });
  });
  document.addEventListener("keydown", (event) => {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.target.closest("input, select, textarea, a, summary")) return;
    const act = { ArrowRight: "next", ArrowLeft: "back", " ": "play" }[event.key];
    if (!act || (event.key === " " && event.target.closest("button"))) return;
    event.preventDefault();
    if (act !== "play") stop();
    acts[act]();
  });
  if (presses.length) {
    const asked = /^#press-(\d+)$/.exec(location.hash);
    show(asked ? Number(asked[1]) - 1 : 0, Boolean(asked));
  }
}
