// Words on the map: kept at one size, hole numbers only where they can be read.

const SVG = "http://www.w3.org/2000/svg";
const LETTER_PX = 12;
const ROOM_FOR_NUMBER_PX = 24;
const ROOM_FOR_NAME_PX = 56;
const LETTER_WIDE_PX = 7;
const CLEAR_PX = 2;
const MOST_NAMES = 300;
const CELL_PX = 7;

export class Names {
  constructor(svg, holes) {
    this.holes = holes;
    this.rows = Map.groupBy(holes.groups.keys(), (k) => holes.groups[k].dataset.row);
    this.texts = [...svg.querySelectorAll(".labels text, .edge-names text")].map((text) => ({
      text,
      x: Number(text.getAttribute("x")),
      y: Number(text.getAttribute("y")),
      size: Number(text.getAttribute("font-size")),
      hole: this.namedBy(text),
    }));
    this.labelled = new Set(this.texts.map((one) => one.hole));
    this.labels = svg.querySelector(".labels");
    this.halo = Number(this.labels?.getAttribute("stroke-width")) || 0;
    this.leaders = svg.querySelectorAll(".labels .leader, .labels .leader-end");
    this.numbers = document.createElementNS(SVG, "g");
    this.numbers.setAttribute("class", "hole-numbers");
    holes.world.append(this.numbers);
    this.apart = this.distances();
    this.upright = this.uprightHoles();
  }

  // Holes of rows that run up and down: their numbers stand beside, not above.
  uprightHoles() {
    const { x, y } = this.holes;
    const rows = [...this.rows.values()].filter((row) => {
      const [first, last] = [row[0], row.at(-1)];
      return Math.abs(y[last] - y[first]) > Math.abs(x[last] - x[first]);
    });
    return new Set(rows.flat());
  }

  // Which hole a drawn label names: `A11:1` whole, or `37` within its row; -1: none.
  namedBy(text) {
    const { row } = text.dataset;
    const words = text.textContent;
    const name = words.includes(":") ? words : `${row}:${words}`;
    return this.holes.index.get(name) ?? -1;
  }

  // Distance from each hole to the next of its row: how much room its number has.
  distances() {
    const { x, y } = this.holes;
    const apart = new Float64Array(x.length).fill(Infinity);
    for (const row of this.rows.values()) {
      row.slice(1).forEach((k, before) => {
        const last = row[before];
        const far = Math.hypot(x[k] - x[last], y[k] - y[last]);
        apart[k] = Math.min(apart[k], far);
        apart[last] = Math.min(apart[last], far);
      });
    }
    return apart;
  }

  rest(view) {
    const { zoom } = view;
    this.labels?.setAttribute("stroke-width", this.halo / zoom);
    for (const one of this.texts) {
      one.text.setAttribute("font-size", one.size / zoom);
      one.text.setAttribute("dy", (0.35 * one.size) / zoom);
      if (one.hole < 0) continue;
      const [x, y] = this.beside(one, zoom);
      one.text.setAttribute("x", x);
      one.text.setAttribute("y", y);
    }
    for (const leader of this.leaders) {
      leader.style.display = zoom > 1.05 ? "none" : "";
    }
    this.number(view);
  }

  // A label stays beside its hole however close the map comes, and clear of its sign.
  beside(one, zoom) {
    const hx = this.holes.x[one.hole];
    const hy = this.holes.y[one.hole];
    const far = Math.hypot(one.x - hx, one.y - hy) || 1;
    const words = (one.text.textContent.length * one.size) / zoom / 3;
    const clear = this.holes.reach(one.hole) + words;
    const by = zoom === 1 ? 1 : Math.max(1 / zoom, clear / far);
    return [hx + (one.x - hx) * by, hy + (one.y - hy) * by];
  }

  // Numbers stand clear of every other word; holes that have a word keep that one.
  number(view) {
    const seen = view.seen();
    const px = view.pxPerMm;
    const taken = new Set();
    const made = [];
    for (const one of this.texts) this.take(taken, one.text, px);
    const { x, y, names } = this.holes;
    for (let k = 0; k < x.length && made.length < MOST_NAMES; k += 1) {
      if (this.labelled.has(k)) continue;
      if (x[k] < seen.left || x[k] > seen.right) continue;
      if (y[k] < seen.top || y[k] > seen.bottom) continue;
      if (this.apart[k] * px < ROOM_FOR_NUMBER_PX) continue;
      const words = this.apart[k] * px < ROOM_FOR_NAME_PX ? names[k].split(":").at(-1) : names[k];
      const wide = words.length * LETTER_WIDE_PX;
      const beside = this.upright.has(k);
      const clear = this.holes.reach(k) * px + CLEAR_PX;
      const left = x[k] * px + (beside ? clear : -wide / 2);
      const top = y[k] * px - (beside ? LETTER_PX / 2 : clear + LETTER_PX);
      if (!this.free(taken, left, top, wide, LETTER_PX)) continue;
      const base = top + LETTER_PX * 0.85;
      made.push(this.written(words, left / px, base / px, LETTER_PX / px));
    }
    this.numbers.replaceChildren(...made);
  }

  written(words, x, y, size) {
    const text = document.createElementNS(SVG, "text");
    text.textContent = words;
    text.setAttribute("class", "halo");
    text.setAttribute("x", x);
    text.setAttribute("y", y);
    text.setAttribute("font-size", size);
    text.setAttribute("stroke-width", size * 0.25);
    return text;
  }

  take(taken, text, px) {
    const box = text.getBBox();
    const [left, top] = [box.x * px, box.y * px];
    for (const cell of this.cells(left, top, box.width * px, box.height * px)) {
      taken.add(cell);
    }
  }

  cells(left, top, wide, high) {
    const cells = [];
    for (let a = Math.floor(left / CELL_PX); a <= (left + wide) / CELL_PX; a += 1) {
      for (let b = Math.floor(top / CELL_PX); b <= (top + high) / CELL_PX; b += 1) {
        cells.push(`${a} ${b}`);
      }
    }
    return cells;
  }

  // Whether the cells under some words are empty; if so they are taken.
  free(taken, left, top, wide, high) {
    const cells = this.cells(left, top, wide, high);
    if (cells.some((cell) => taken.has(cell))) return false;
    for (const cell of cells) taken.add(cell);
    return true;
  }
}
