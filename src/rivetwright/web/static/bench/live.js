// News from the laptop: one stream a page, closed while nobody looks at it.

import { tell } from "../bus.js";

const AGAIN_MS = 3000;

export class Live {
  constructor(after) {
    this.after = after;
    this.stream = null;
    this.timer = 0;
    document.addEventListener("visibilitychange", () => this.look());
    addEventListener("pagehide", () => this.close());
    addEventListener("pageshow", () => this.look());
    addEventListener("online", () => this.again());
    this.look();
  }

  look() {
    if (document.hidden) this.close();
    else if (!this.stream) this.open();
  }

  again() {
    this.close();
    this.look();
  }

  close() {
    clearTimeout(this.timer);
    this.stream?.close();
    this.stream = null;
  }

  open() {
    const stream = new EventSource(`/api/live?after=${this.after}`);
    this.stream = stream;
    stream.onopen = () => tell("back", {});
    stream.onerror = () => {
      tell("link", { isUp: false });
      // A browser gives up for good on an answer that is no stream.
      if (stream.readyState !== EventSource.CLOSED) return;
      this.close();
      this.timer = setTimeout(() => this.look(), AGAIN_MS);
    };
    stream.addEventListener("here", () => tell("link", { isUp: true }));
    stream.addEventListener("fact", (event) => {
      this.after = Number(event.lastEventId) || this.after;
      tell("news", JSON.parse(event.data));
    });
  }
}
