// Sends waiting marks in their order, and drops those that the laptop says it keeps.

import { tell } from "../bus.js";

const BATCH = 100;
const FIRST_PAUSE_MS = 1000;
const LONGEST_PAUSE_MS = 30000;
const ROUND_TRIP_MS = 2000;
const SHUT_OUT = [401, 403];
const UNFIT = [400, 413, 422];

export class Sending {
  constructor(queue) {
    this.queue = queue;
    this.pause = FIRST_PAUSE_MS;
    this.batch = BATCH;
    this.clock_ms = 0;
    this.timer = 0;
    this.isBusy = false;
    this.isAsked = false;
  }

  // How far the laptop's clock is ahead of this device's, as far as an answer tells.
  compare(now, sent) {
    const came = Date.now();
    if (!now || came - sent > ROUND_TRIP_MS) return;
    this.clock_ms = Math.round(Date.parse(now) - (sent + came) / 2);
  }

  async begin() {
    const sent = Date.now();
    try {
      const answer = await fetch("/api/now", { cache: "no-store" });
      if (answer.ok) this.compare((await answer.json()).now, sent);
    } catch {
      // The difference is measured with the first answer.
      tell("link", { isUp: false });
    }
    await this.flush();
  }

  async flush() {
    if (this.isBusy) {
      this.isAsked = true;
      return;
    }
    this.isBusy = true;
    clearTimeout(this.timer);
    do {
      this.isAsked = false;
      await this.sendAll();
    } while (this.isAsked);
    this.isBusy = false;
  }

  async sendAll() {
    for (;;) {
      const waiting = await this.queue.all();
      tell("waiting", { waiting });
      const ready = waiting.filter((one) => !one.refused);
      if (!ready.length) return;
      if (!(await this.sendSome(ready))) {
        this.later();
        return;
      }
    }
  }

  // A photo goes by itself; marks before the next photo go together.
  async sendSome(ready) {
    const upTo = ready.findIndex((one) => one.file);
    const count = Math.min(this.batch, upTo > 0 ? upTo : ready.length);
    const some = ready.slice(0, upTo === 0 ? 1 : count);
    const sent = Date.now();
    let answer;
    try {
      answer = await (upTo === 0 ? postPhoto(some[0]) : postMarks(some));
    } catch {
      tell("link", { isUp: false });
      return false;
    }
    if (!answer.ok) return this.notTaken(some, answer);
    const said = await answer.json().catch(() => null);
    if (!said) return false;
    this.compare(said.now, sent);
    this.pause = FIRST_PAUSE_MS;
    this.batch = BATCH;
    await this.queue.drop(said.kept.map((one) => one.id));
    for (const why of said.refused) {
      await this.queue.change(why.id, (kept) => ({ ...kept, refused: why }));
    }
    tell("link", { isUp: true });
    tell("kept", { kept: said.kept, position: said.position, sent: some });
    return said.kept.length + said.refused.length > 0;
  }

  // The whole was refused. Where one mark is the reason it is found by halving, and set
  // aside with the answer, so that it does not hold up those behind it.
  async notTaken(some, answer) {
    const said = wordsOf(await answer.text());
    if (UNFIT.includes(answer.status)) {
      this.batch = Math.ceil(some.length / 2);
      const why = { id: some[0].id, ...said };
      if (some.length === 1) {
        await this.queue.change(some[0].id, (kept) => ({ ...kept, refused: why }));
      }
      return true;
    }
    const isShut = SHUT_OUT.includes(answer.status);
    tell("link", { isUp: true, isShut, why: isShut ? "" : (said.found ?? String(answer.status)) });
    return false;
  }

  later() {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => this.flush(), this.pause);
    this.pause = Math.min(LONGEST_PAUSE_MS, this.pause * 2);
  }

  // The link seems to be back: at once, not when the timer ends.
  now() {
    this.pause = FIRST_PAUSE_MS;
    return this.flush();
  }
}

// A refusal in JSON, or one told in lines before it came to the pages: `Found: ...`.
function wordsOf(text) {
  try {
    return JSON.parse(text);
  } catch {
    const lines = [...text.matchAll(/^(Asked|Found|Allowed|Do): (.+)$/gm)];
    return Object.fromEntries(lines.map(([, name, words]) => [name.toLowerCase(), words]));
  }
}

const HEADERS = { "X-Rivetwright": "mark" };

function postMarks(some) {
  return fetch("/api/marks", {
    method: "POST",
    headers: { ...HEADERS, "Content-Type": "application/json" },
    body: JSON.stringify({ marks: some.map((one) => one.mark), now: new Date().toISOString() }),
    cache: "no-store",
  });
}

function postPhoto(one) {
  const form = new FormData();
  form.set("file", one.file, "photo");
  form.set("mark", JSON.stringify(one.mark));
  return fetch("/api/photo", { method: "POST", headers: HEADERS, body: form, cache: "no-store" });
}
