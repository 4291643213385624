// The hole map: starts view, gestures and names on the drawn picture, and swaps the
// picture when it is turned, mirrored or needs another layout.

import { hear, tell, writeAddress } from "./bus.js";
import { listen } from "./gestures.js";
import { Holes } from "./holes.js";
import { Names } from "./names.js";
import { View } from "./view.js";

// Chosen on the map it is in sight; the next hole of a run is only ringed.
const STILL = ["map", "run"];
const TAP_REACH_PX = 24;
const SHOWN_PX_A_MM = 4;
const FAR_PX_A_MM = 1;
const ROOM_SLACK = 0.3;
const BUTTON_ZOOM = 1.6;

export function start(figure) {
  const map = new HoleMap(figure);
  hear("choose", ({ name, from }) => map.choose(name, from));
  hear("light", (asked) => map.light(asked));
  hear("painted", ({ names }) => map.holes.painted(names));
  new ResizeObserver(() => map.resized()).observe(figure.querySelector(".map-frame"));
  return map.layOut();
}

class HoleMap {
  constructor(figure) {
    this.figure = figure;
    this.frame = figure.querySelector(".map-frame");
    this.frame.tabIndex = 0;
    this.chosen = figure.dataset.chosen ?? "";
    this.kept = null;
    this.asked = 0;
    this.lit = null;
    this.flown = null;
    figure.querySelector(".zoom-tools").hidden = false;
    figure.addEventListener("click", (event) => this.pressed(event));
    this.take();
    this.listenOnce();
  }

  // The room the map may take; kept, so that the next page is laid out for it at once.
  room() {
    const high = parseFloat(getComputedStyle(this.frame).maxHeight) || innerHeight / 2;
    const room = [this.frame.clientWidth, Math.round(high)];
    document.cookie = `${this.figure.dataset.jar ?? "room"}=${room.join("x")}; path=/; samesite=strict; max-age=31536000`;
    return room;
  }

  layOut() {
    const drawn = this.figure.dataset.room.split("x").map(Number);
    const room = this.room();
    const isOff = room.some((px, k) => Math.abs(px / drawn[k] - 1) > ROOM_SLACK);
    return isOff && room[0] ? this.swap(new URL(location.href)) : undefined;
  }

  // Gestures hold on to the frame, which stays; the picture in it may change.
  listenOnce() {
    const relay = new Proxy({}, { get: (_, name) => bound(this.view, name) });
    listen(this.frame, relay, (x, y) => this.tapped(x, y), (factor) => this.nearer(factor));
  }

  take() {
    const svg = this.frame.querySelector("svg");
    this.holes = new Holes(svg);
    this.frame.style.aspectRatio = `${svg.viewBox.baseVal.width} / ${svg.viewBox.baseVal.height}`;
    this.view = new View(svg, () => this.rest());
    this.names = new Names(svg, this.holes);
    this.holes.choose(this.chosen);
    this.holes.light(this.lit);
    this.rest();
  }

  rest() {
    this.holes.rest(this.view.zoom, this.view.pxPerMm);
    this.names.rest(this.view);
    this.figure.dataset.zoom = this.view.zoom.toFixed(3);
  }

  resized() {
    this.view.measure();
    this.rest();
    this.layOut();
  }

  tapped(clientX, clientY) {
    const [x, y] = this.view.inWorld(clientX, clientY);
    const name = this.holes.nearest(x, y, TAP_REACH_PX / this.view.pxPerMm);
    if (name) tell("choose", { name, from: "map" });
  }

  // About the chosen hole where it is in sight, else about the one nearest the middle.
  nearer(factor) {
    const seen = this.view.seen();
    const middle = [(seen.left + seen.right) / 2, (seen.top + seen.bottom) / 2];
    const box = this.holes.boxOf([this.chosen]);
    const near = this.holes.boxOf([this.holes.nearest(...middle, Infinity)]);
    const about = [box, near].find((one) => one && this.isSeen(one));
    this.view.zoomAbout(factor, about ? about.slice(0, 2) : middle);
  }

  choose(name, from) {
    this.chosen = name;
    this.holes.choose(name);
    const box = STILL.includes(from) ? null : this.holes.boxOf([name]);
    const isClear = box && this.isSeen(box) && this.view.pxPerMm > FAR_PX_A_MM;
    if (box && !isClear) this.view.show(...box, SHOWN_PX_A_MM);
  }

  isSeen([left, top, right, bottom]) {
    const seen = this.view.seen();
    return (
      left > seen.left && right < seen.right && top > seen.top && bottom < seen.bottom
    );
  }

  // A filter's holes are kept lit; a finding or a focused hole shines over them.
  light({ names, fly, keep }) {
    if (keep) this.kept = names;
    this.lit = names ?? this.kept;
    this.holes.light(this.lit);
    if (fly) this.flown = names;
    const box = fly && names && this.holes.boxOf(names);
    if (box) this.view.show(...box, SHOWN_PX_A_MM);
  }

  // A picture laid out anew lies where the one before it was flown to.
  flyBack() {
    const box = this.flown && this.holes.boxOf(this.flown);
    if (box) this.view.show(...box, SHOWN_PX_A_MM);
  }

  pressed(event) {
    const button = event.target.closest("button[data-zoom]");
    if (button) {
      const act = button.dataset.zoom;
      if (act === "in") this.nearer(BUTTON_ZOOM);
      else if (act === "out") this.nearer(1 / BUTTON_ZOOM);
      else this.view.fit();
      return;
    }
    const link = event.target.closest("a[data-turn]");
    if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    this.swap(new URL(link.href), link.dataset.turn);
  }

  // The server draws the turned or mirrored picture: words stay upright there.
  async swap(address, pressed) {
    const wanted = new URL(this.figure.dataset.drawn, location.href);
    for (const name of ["face", "turn", "mirror"]) {
      const value = address.searchParams.get(name);
      if (value) wanted.searchParams.set(name, value);
    }
    const room = this.room();
    wanted.searchParams.set("wide", room[0]);
    wanted.searchParams.set("high", room[1]);
    this.figure.dataset.room = room.join("x");
    this.asked += 1;
    const mine = this.asked;
    const answer = await fetch(wanted).catch(() => null);
    if (mine !== this.asked || !answer) return;
    if (!answer.ok) {
      location.assign(address);
      return;
    }
    const made = new DOMParser().parseFromString(await answer.text(), "text/html");
    for (const part of [".map-frame", ".turn-tools", ".how-it-lies"]) {
      const fresh = made.querySelector(part);
      this.figure.querySelector(part).replaceChildren(...fresh.childNodes);
    }
    if (pressed) {
      this.figure.querySelector(`[data-turn="${pressed}"]`)?.focus();
      writeAddress({
        turn: address.searchParams.get("turn"),
        mirror: address.searchParams.get("mirror"),
      });
    }
    this.take();
    if (!pressed) this.flyBack();
  }
}

function bound(view, name) {
  const value = view[name];
  return typeof value === "function" ? value.bind(view) : value;
}
