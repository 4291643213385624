// Marks that cannot be sent, as text and as squares that another camera reads.

import { hear } from "../bus.js";
import qrcode from "../vendor/qrcode.mjs";

const SVG = "http://www.w3.org/2000/svg";
const PIECE = 700;
const QUIET = 4;
const OPEN_AFTER_MS = 10000;

// Plain ASCII, so that every reader of squares gives back the same letters.
const ascii = (text) =>
  text.replace(/[^\x20-\x7e]/g, (one) => `\\u${one.charCodeAt(0).toString(16).padStart(4, "0")}`);

export function carried(device, marks) {
  return ascii(JSON.stringify({ rivetwright: "marks 1", device, marks }));
}

export function pieces(text) {
  const count = Math.ceil(text.length / PIECE);
  return Array.from({ length: count }, (_, k) =>
    `RW1 ${k + 1}/${count} ${text.slice(k * PIECE, (k + 1) * PIECE)}`);
}

function square(words) {
  const code = qrcode(0, "L");
  code.addData(words);
  code.make();
  const count = code.getModuleCount();
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", `${-QUIET} ${-QUIET} ${count + 2 * QUIET} ${count + 2 * QUIET}`);
  const path = document.createElementNS(SVG, "path");
  let d = "";
  for (let y = 0; y < count; y += 1) {
    for (let x = 0; x < count; x += 1) if (code.isDark(y, x)) d += `M${x} ${y}h1v1h-1z`;
  }
  path.setAttribute("d", d);
  svg.setAttribute("role", "img");
  svg.append(path);
  return svg;
}

export function start(place) {
  const text = place.querySelector("textarea");
  const squares = place.querySelector(".squares");
  let waiting = [];
  let isUp = true;
  let timer = 0;

  const write = () => {
    const marks = waiting.filter((one) => !one.file).map((one) => one.mark);
    place.hidden = !marks.length;
    if (!marks.length) return;
    text.value = carried(place.dataset.device, marks);
    const parts = pieces(text.value);
    squares.replaceChildren(...parts.map((part, k) => {
      const figure = document.createElement("figure");
      const caption = document.createElement("figcaption");
      caption.textContent = place.dataset.square.replace("{at}", k + 1).replace("{of}", parts.length);
      const drawn = square(part);
      drawn.setAttribute("aria-label", caption.textContent);
      figure.append(drawn, caption);
      return figure;
    }));
  };

  // Only where marks wait in earnest: a short drop heals by itself.
  const look = () => {
    const isStuck = waiting.some((one) => !one.file) && !isUp;
    if (!isStuck) {
      clearTimeout(timer);
      timer = 0;
      if (!waiting.length) place.hidden = true;
    } else if (!place.hidden) write();
    else timer ||= setTimeout(write, OPEN_AFTER_MS);
  };
  hear("waiting", (now) => {
    ({ waiting } = now);
    look();
  });
  hear("link", (now) => {
    isUp = now.isUp && !now.isShut;
    look();
  });
}
