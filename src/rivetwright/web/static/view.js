// Where the map lies in its frame: one transform on one group, kept in bounds.

const CLOSEST_PX_A_MM = 24;
const FLIGHT_MS = 260;
const calm = matchMedia("(prefers-reduced-motion: reduce)");

export class View {
  constructor(svg, atRest) {
    this.svg = svg;
    this.world = svg.querySelector(".world");
    this.box = svg.viewBox.baseVal;
    this.zoom = 1;
    this.x = 0;
    this.y = 0;
    this.atRest = atRest;
    this.asked = 0;
    this.measure();
  }

  // How the picture's own millimetres lie on the screen; read once per resize.
  measure() {
    const matrix = this.svg.getScreenCTM();
    this.unit = matrix ? matrix.a : 1;
    this.furthest = Math.max(4, CLOSEST_PX_A_MM / this.unit);
  }

  get pxPerMm() {
    return this.unit * this.zoom;
  }

  inPicture(clientX, clientY) {
    const matrix = this.svg.getScreenCTM();
    return [(clientX - matrix.e) / matrix.a, (clientY - matrix.f) / matrix.d];
  }

  inWorld(clientX, clientY) {
    const [x, y] = this.inPicture(clientX, clientY);
    return [(x - this.x) / this.zoom, (y - this.y) / this.zoom];
  }

  // What can be seen, in millimetres of the world: the frame, not only the viewBox.
  seen() {
    const frame = this.svg.getBoundingClientRect();
    const [left, top] = this.inWorld(frame.left, frame.top);
    const [right, bottom] = this.inWorld(frame.right, frame.bottom);
    return { left, top, right, bottom };
  }

  moveBy(dx, dy) {
    this.place(this.zoom, this.x + dx / this.unit, this.y + dy / this.unit);
  }

  zoomBy(factor, clientX, clientY) {
    const zoom = Math.min(this.furthest, Math.max(1, this.zoom * factor));
    const [x, y] = this.inPicture(clientX, clientY);
    const by = zoom / this.zoom;
    this.place(zoom, x - (x - this.x) * by, y - (y - this.y) * by);
  }

  // Nearer or farther by button or key: about a place of the world that is in sight.
  zoomAbout(factor, [x, y]) {
    const matrix = this.svg.getScreenCTM();
    const px = matrix.e + (x * this.zoom + this.x) * matrix.a;
    const py = matrix.f + (y * this.zoom + this.y) * matrix.d;
    this.zoomBy(factor, px, py);
    this.rest();
  }

  // Half of the picture stays in the frame, so that it cannot be lost.
  place(zoom, x, y) {
    const { box } = this;
    const keep = (value, low, size) => {
      const least = low + size / 2 - (low + size) * zoom;
      const most = low + size / 2 - low * zoom;
      return Math.min(most, Math.max(least, value));
    };
    this.zoom = zoom;
    this.x = keep(x, box.x, box.width);
    this.y = keep(y, box.y, box.height);
    this.draw();
  }

  draw() {
    if (this.asked) return;
    this.asked = requestAnimationFrame(() => {
      this.asked = 0;
      this.write();
    });
  }

  write() {
    const { zoom, x, y } = this;
    this.world.setAttribute("transform", `translate(${x} ${y}) scale(${zoom})`);
  }

  rest() {
    this.write();
    this.atRest();
  }

  fit() {
    this.flyTo(1, 0, 0);
  }

  // Show a box of the world with room about it, no closer than it needs to be.
  show(left, top, right, bottom, pxPerMmMost) {
    const { box } = this;
    const room = 1.6;
    const wide = Math.max((right - left) * room, 1);
    const high = Math.max((bottom - top) * room, 1);
    const wanted = Math.min(box.width / wide, box.height / high, pxPerMmMost / this.unit);
    const zoom = Math.min(this.furthest, Math.max(1, wanted));
    const x = box.x + box.width / 2 - (zoom * (left + right)) / 2;
    const y = box.y + box.height / 2 - (zoom * (top + bottom)) / 2;
    if (zoom === 1) this.flyTo(1, 0, 0);
    else this.flyTo(zoom, x, y);
  }

  // Moves on purpose, so that the eye can follow where the place went.
  flyTo(zoom, x, y) {
    if (calm.matches || document.hidden) {
      this.place(zoom, x, y);
      this.rest();
      return;
    }
    const from = { zoom: this.zoom, x: this.x, y: this.y };
    const flight = (this.flight = {});
    const start = performance.now();
    const step = (now) => {
      if (this.flight !== flight) return;
      const t = Math.min(1, Math.max(0, (now - start) / FLIGHT_MS));
      const eased = t * t * (3 - 2 * t);
      const between = (a, b) => a + (b - a) * eased;
      this.zoom = between(from.zoom, zoom);
      this.x = between(from.x, x);
      this.y = between(from.y, y);
      this.write();
      if (t < 1) requestAnimationFrame(step);
      else {
        this.place(zoom, x, y);
        this.rest();
      }
    };
    requestAnimationFrame(step);
  }

  stopFlight() {
    this.flight = null;
  }
}
