// The holes of a drawn map: where each lies, which is nearest, which are lit.

import { Still } from "./still.js";

const SVG = "http://www.w3.org/2000/svg";
const RING_PX = 15;
const FEW = 8;
const WAITS = /state-(open|hold)/;

export class Holes {
  constructor(svg) {
    this.svg = svg;
    this.world = svg.querySelector(".world");
    this.groups = [...svg.querySelectorAll(".hole")];
    this.names = this.groups.map((group) => group.dataset.hole);
    this.index = new Map(this.names.map((name, k) => [name, k]));
    this.x = new Float64Array(this.groups.length);
    this.y = new Float64Array(this.groups.length);
    this.groups.forEach((group, k) => {
      const { e, f } = group.transform.baseVal.consolidate().matrix;
      this.x[k] = e;
      this.y[k] = f;
    });
    this.rings = this.groups.map((group) => Number(group.querySelector(".ring").getAttribute("r")));
    this.grown = Number(svg.dataset.grow) || 1;
    this.litPx = Number(svg.closest("figure")?.dataset.litPx) || 0;
    this.lit = new Set();
    this.waiting = new Set();
    this.grow = 1;
    this.ring = document.createElementNS(SVG, "g");
    this.ring.setAttribute("class", "chosen-ring");
    for (const part of ["under", "over"]) {
      const circle = document.createElementNS(SVG, "circle");
      circle.setAttribute("class", part);
      this.ring.append(circle);
    }
    this.ring.style.display = "none";
    // Under the labels: a ring must not hide the name of the hole it shows.
    this.world.insertBefore(this.ring, this.world.querySelector(".labels, .holes"));
    this.still = this.litPx ? new Still(this) : null;
    if (this.litPx) this.gatherWaiting(this.groups.keys());
  }

  // Holes that must stay open or wait are as plain beside the lit ones as these.
  gatherWaiting(indices) {
    for (const k of indices) {
      const isWaiting = WAITS.test(this.groups[k].className.baseVal);
      if (isWaiting) this.waiting.add(k);
      else this.waiting.delete(k);
    }
  }

  // How far a hole's sign reaches from its middle, with what is drawn round it [mm].
  reach(k) {
    const group = this.groups[k];
    const ring = Number(group.querySelector(".ring").getAttribute("r")) * this.grow;
    if (/finding-(stop|check)/.test(group.className.baseVal)) return 2.5 * ring;
    return (/head-.*flush/.test(group.className.baseVal) ? 1.5 : 1.1) * ring;
  }

  // Found by distance on the part, not by hitting the sign: fingers are wide.
  nearest(x, y, withinMm) {
    let best = -1;
    let least = withinMm * withinMm;
    for (let k = 0; k < this.x.length; k += 1) {
      const dx = this.x[k] - x;
      const dy = this.y[k] - y;
      const far = dx * dx + dy * dy;
      if (far <= least) {
        least = far;
        best = k;
      }
    }
    return best < 0 ? null : this.names[best];
  }

  choose(name) {
    const k = this.index.get(name);
    this.chosen = k;
    this.ring.style.display = k === undefined ? "none" : "";
    if (k === undefined) return;
    this.ring.setAttribute("transform", `translate(${this.x[k]} ${this.y[k]})`);
    this.writeRing();
  }

  // Wide enough to be seen, and always round the sign.
  writeRing() {
    if (this.chosen === undefined || !this.pxPerMm) return;
    const radius = Math.max(RING_PX / this.pxPerMm, 1.2 * this.reach(this.chosen));
    for (const circle of this.ring.children) circle.setAttribute("r", radius);
  }

  // Lit holes keep their ink; the others step back. null: all are equal again.
  light(names) {
    const before = this.lit;
    const known = (names ?? []).map((name) => this.index.get(name));
    this.lit = new Set(known.filter((k) => k !== undefined));
    this.svg.classList.toggle("has-lit", Boolean(names));
    for (const k of before) if (!this.lit.has(k)) this.groups[k].classList.remove("lit");
    for (const k of this.lit) this.groups[k].classList.add("lit");
    if (!this.still) return;
    this.stepBack();
    // How large the lit ones are drawn depends on how many there are.
    const isOther = before.size > FEW !== this.lit.size > FEW;
    const either = [...new Set([...before, ...this.lit])];
    this.writeGrowth(either.filter((k) => isOther || before.has(k) !== this.lit.has(k)));
  }

  stepBack() {
    const isOn = this.svg.classList.contains("has-lit");
    this.still.keep(isOn ? [...this.groups.keys()].filter((k) => !this.lit.has(k)) : []);
  }

  // Signs that were painted anew: those in the still picture are drawn there again.
  painted(names) {
    if (!this.still) return;
    const indices = names.map((name) => this.index.get(name)).filter((k) => k !== undefined);
    this.gatherWaiting(indices);
    this.writeGrowth(indices.filter((k) => !this.still.kept.has(k)));
    const isStill = (name) => this.still.kept.has(this.index.get(name));
    if (!names.some(isStill)) return;
    this.stepBack();
    this.still.draw();
  }

  // The box round some holes, or null where none of them lies on this face.
  boxOf(names) {
    const found = names.map((name) => this.index.get(name)).filter((k) => k !== undefined);
    if (!found.length) return null;
    const xs = found.map((k) => this.x[k]);
    const ys = found.map((k) => this.y[k]);
    return [Math.min(...xs), Math.min(...ys), Math.max(...xs), Math.max(...ys)];
  }

  // One transform a hole: a second one inside each, as a style would give, is what
  // makes a map of thousands of holes slow to move.
  writeGrowth(indices) {
    const { grow } = this;
    for (const k of indices) {
      const least = this.lit.has(k) ? this.litGrow(k) : this.waiting.has(k) && this.plainGrow(k);
      const by = Math.max(grow, least || 0);
      this.groups[k].setAttribute("transform", `translate(${this.x[k]} ${this.y[k]}) scale(${by})`);
    }
  }

  growAll(grow) {
    this.grow = grow;
    const all = [...this.groups.keys()];
    this.writeGrowth(this.still ? all.filter((k) => !this.still.kept.has(k)) : all);
    this.still?.draw();
  }

  // A map with little room may ask that lit holes are never drawn smaller than so.
  litGrow(k) {
    return (this.lit.size > FEW ? 1 : 2) * this.plainGrow(k);
  }

  plainGrow(k) {
    return this.litPx && this.pxPerMm ? this.litPx / (this.rings[k] * this.pxPerMm) : 0;
  }

  // Signs that were grown to be seen come down to true size as the map comes nearer.
  rest(zoom, pxPerMm) {
    const grow = Math.max(1 / this.grown, 1 / zoom);
    const isOff = grow !== this.grow || (this.litPx && this.pxPerMm !== pxPerMm);
    this.pxPerMm = pxPerMm;
    if (isOff) this.growAll(grow);
    this.writeRing();
  }
}
