// Asks for the panel anew when the laptop has news; what waits here goes first.

import { hear } from "../bus.js";
import { isTyping } from "./kept.js";

// While one press follows another the panel is left alone: what they change is shown
// already, and drawing all of it anew would keep the next press waiting.
const QUIET_MS = 700;

function panelIn(text) {
  const made = new DOMParser().parseFromString(text, "text/html");
  return document.adoptNode(made.querySelector(".panel-now"));
}

const keptOf = async (address) =>
  globalThis.caches?.match(address, { ignoreVary: true }).catch(() => null);

export class Fresh {
  constructor(work) {
    this.work = work;
    this.asked = 0;
    this.isWanted = false;
    this.pressed = -QUIET_MS;
    this.timer = 0;
    for (const kind of ["pointerdown", "keydown"]) {
      addEventListener(kind, () => (this.pressed = performance.now()), true);
    }
    work.root.addEventListener("focusout", () => this.isWanted && this.ask());
    hear("news", (news) => this.hear(news));
  }

  hear(news) {
    const { work } = this;
    work.saw = Math.max(work.saw, news.seq);
    if (news.assembly !== work.root.dataset.assembly) return;
    work.painter.paint(news.painted);
    this.ask();
  }

  address() {
    const key = encodeURIComponent(this.work.root.dataset.key);
    return `/bench/${key}/panel?step=${encodeURIComponent(this.work.panel.dataset.step)}`;
  }

  // Soon, when no press has come for a moment.
  ask() {
    clearTimeout(this.timer);
    const quiet = performance.now() - this.pressed;
    if (quiet >= QUIET_MS) return this.askNow();
    this.timer = setTimeout(() => this.ask(), QUIET_MS - quiet);
    return undefined;
  }

  async askNow() {
    const { work } = this;
    this.isWanted = isTyping(work.panel);
    if (this.isWanted) return;
    this.asked += 1;
    const mine = this.asked;
    const answer = await fetch(this.address()).catch(() => null);
    if (!answer?.ok || mine !== this.asked) return;
    work.served = panelIn(await answer.text());
    await work.render();
  }

  // Without the link the page comes back as it was loaded, and the panel as it came
  // last: the one that the laptop made later holds.
  async recall() {
    const { work } = this;
    const kept = await keptOf(this.address());
    const panel = kept && panelIn(await kept.text());
    const isLater = panel && panel.dataset.now > work.served.dataset.now;
    if (isLater && Number(panel.dataset.position) >= work.position) work.served = panel;
  }
}
