// The still picture: holes that step back while others are lit, drawn as two outlines.
// A sign apiece, each in a place of its own, is what makes a map of thousands of holes
// slow to paint; those that are not meant need no more than a ring.

const SVG = "http://www.w3.org/2000/svg";
const LINE = 0.16;
const STEPS_BACK = /state-(planned|drilled|set)/;
const SPEAKS = /finding-(stop|check)/;

const circle = (x, y, r) => `M${x - r} ${y}a${r} ${r} 0 1 0 ${2 * r} 0a${r} ${r} 0 1 0 ${-2 * r} 0z`;

export class Still {
  constructor(holes) {
    this.holes = holes;
    this.kept = new Set();
    this.place = document.createElementNS(SVG, "g");
    this.place.setAttribute("class", "still-holes");
    this.rings = this.path("rings");
    this.filled = this.path("filled");
    holes.world.insertBefore(this.place, holes.world.querySelector(".chosen-ring, .holes"));
  }

  path(kind) {
    const path = document.createElementNS(SVG, "path");
    path.setAttribute("class", kind);
    this.place.append(path);
    return path;
  }

  // Open holes, holes on hold and those with a finding keep their own sign.
  mayStepBack(k) {
    const classes = this.holes.groups[k].className.baseVal;
    return STEPS_BACK.test(classes) && !SPEAKS.test(classes);
  }

  outline(k) {
    const { x, y, rings, grow } = this.holes;
    return circle(x[k], y[k], rings[k] * grow);
  }

  pathOf(k) {
    return this.holes.groups[k].classList.contains("state-set") ? this.filled : this.rings;
  }

  // Holes that step back join the picture; it is drawn anew only where one leaves it.
  keep(indices) {
    const wanted = new Set(indices.filter((k) => this.mayStepBack(k)));
    const gone = [...this.kept].filter((k) => !wanted.has(k));
    const fresh = [...wanted].filter((k) => !this.kept.has(k));
    for (const k of gone) this.holes.groups[k].classList.remove("still");
    for (const k of fresh) this.holes.groups[k].classList.add("still");
    this.kept = wanted;
    this.holes.writeGrowth(gone);
    if (gone.length) this.draw();
    else this.add(fresh);
  }

  add(indices) {
    const more = new Map([[this.rings, []], [this.filled, []]]);
    for (const k of indices) more.get(this.pathOf(k)).push(this.outline(k));
    for (const [path, outlines] of more) {
      if (outlines.length) path.setAttribute("d", (path.getAttribute("d") ?? "") + outlines.join(""));
    }
  }

  draw() {
    const [first] = this.kept;
    for (const path of [this.rings, this.filled]) path.setAttribute("d", "");
    if (first === undefined) return;
    this.place.setAttribute("stroke-width", LINE * this.holes.rings[first] * this.holes.grow);
    this.add([...this.kept]);
  }
}
