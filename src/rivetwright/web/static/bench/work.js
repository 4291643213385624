// The bench screen: takes presses as marks, shows at once what they change, and lets
// the laptop's answer have the last word.

import { hear, tell } from "../bus.js";
import { Bounce } from "./bounce.js";
import { Fields } from "./fields.js";
import { Fresh } from "./fresh.js";
import { takeKeys } from "./keys.js";
import { takeOver } from "./kept.js";
import { Live } from "./live.js";
import { bodyOf, markOf } from "./marks.js";
import { Painter } from "./paint.js";
import { Presses } from "./presses.js";
import { Queue } from "./queue.js";
import { mayBeSent, singleBody } from "./run.js";
import { Sending } from "./send.js";
import { Shown } from "./shown.js";
import { Stages } from "./stages.js";
import { Told } from "./told.js";
import { Undo } from "./undo.js";
import { Unseen } from "./unseen.js";

export async function start(root) {
  let queue;
  try {
    queue = await Queue.open(Number(root.dataset.seq));
  } catch {
    tell("lost", {}); // forms are sent as they are, without a script
    return;
  }
  const work = new Work(root, queue);
  await work.begin();
}

class Work {
  constructor(root, queue) {
    this.root = root;
    this.queue = queue;
    this.rows = JSON.parse(root.dataset.rows);
    this.sending = new Sending(queue);
    this.place = root.querySelector(".panel-of-work");
    this.served = this.panel.cloneNode(true);
    this.painter = new Painter(root);
    this.stages = new Stages(this.panel, root.dataset.assembly);
    this.bounce = new Bounce(root);
    this.fields = new Fields(root);
    this.told = new Told(root.querySelector(".toast"));
    this.shown = new Shown(root, this.stages);
    this.undo = new Undo(root);
    this.saw = this.position;
    this.unseen = new Unseen(queue, root.dataset.assembly);
    this.fresh = new Fresh(this);
    this.presses = new Presses(this);
  }

  get panel() {
    return this.place.querySelector(".panel-now");
  }

  get position() {
    return Number(this.served.dataset.position);
  }

  async begin() {
    this.listen();
    this.presses.listen();
    await this.fresh.recall();
    await this.render();
    takeKeys(this.root, () => this.stages.primary());
    this.live = new Live(this.position);
    this.sending.begin();
  }

  listen() {
    this.root.addEventListener("submit", (event) => this.submitted(event));
    this.root.addEventListener("change", () => this.shown.label());
    hear("back", () => this.sending.now());
    hear("kept", ({ kept, position, sent }) => {
      this.saw = Math.max(this.saw, position);
      this.unseen.arrived(kept, sent);
      this.fresh.ask();
    });
    hear("drawn", () => {
      this.painter.gather();
      this.render();
    });
    hear("answered", async ({ id, reason }) => {
      await this.queue.answer(id, reason, this.saw);
      await this.sending.now();
    });
    hear("dropped", async ({ id }) => {
      await this.queue.drop([id]);
      await this.render();
      await this.sending.flush();
    });
    addEventListener("online", () => this.sending.now());
  }

  async submitted(event) {
    const form = event.target;
    if (form.matches(".to-run")) {
      event.preventDefault();
      this.stages.count(form.closest("[data-stage]"), form, event.submitter);
      this.shown.turn();
    } else if (form.matches(".mark, .photo-form")) {
      event.preventDefault();
      await this.take(form);
    }
  }

  // A form becomes a mark: kept on this device's disk before it is sent.
  async take(form, hole = "") {
    const section = form.closest("[data-stage]");
    const isRun = form.matches(".run-form");
    const isSingle = isRun && this.stages.isSingle;
    if (isRun && !hole && !mayBeSent(section, form, isSingle)) return;
    if (this.fields.nameUnknown(form)) return;
    let body = form.matches(".undo") ? this.undo.body() : bodyOf(form, this.rows);
    if (!body) return;
    if (isSingle) body = singleBody(body, section, hole);
    const { assembly, revision } = this.root.dataset;
    const about = { assembly, revision: Number(revision), saw: this.saw, clock_ms: this.sending.clock_ms, version: Number(form.elements.version?.value ?? 1) };
    const mark = markOf(form.dataset.kind, body, about);
    const file = form.elements.file?.files?.[0];
    const words = this.undo.words(form, mark, this.rows);
    this.told.expect(form, mark);
    const isHere = await this.put(mark, file ? { words, file } : { words });
    if (isHere && form.closest(".part")) form.reset();
    await this.sending.flush();
  }

  async put(mark, more) {
    this.unseen.puts += 1;
    tell("taking", { by: 1 });
    const stored = this.queue.add(mark, more);
    if (mark.kind !== "undone") this.show(mark, more.words, true);
    try {
      await stored;
    } catch {
      tell("taking", { by: -1 });
      tell("lost", {});
      this.told.forget(mark);
      await this.render();
      return false;
    }
    tell("waiting", { waiting: await this.queue.all() });
    tell("taking", { by: -1 });
    if (mark.kind === "undone") await this.render();
    return true;
  }

  show(mark, words, isFresh) {
    this.painter.mark(mark, this.rows);
    const over = this.stages.apply(mark);
    if (!isFresh) {
      this.undo.last(mark, words);
      return;
    }
    const goOn = () => this.goOn(mark, words, over);
    if (mark.kind !== "rivets-set") {
      goOn();
      return;
    }
    // The sign is painted first; the words round it come a frame later, while no other
    // press is heard.
    tell("hush", {});
    requestAnimationFrame(() => setTimeout(goOn));
  }

  goOn(mark, words, over) {
    this.undo.last(mark, words);
    this.shown.turn();
    const stop = over?.querySelector(".stop-at");
    if (stop) tell("stop", { next: stop.dataset.next, why: stop.dataset.why });
  }

  // The panel as the laptop sent it, with the marks that it does not know yet.
  async render() {
    const mine = await this.unseen.all(this.position);
    const fresh = this.served.cloneNode(true);
    takeOver(this.panel, fresh);
    this.panel.replaceWith(fresh);
    this.stages.panel = fresh;
    this.undo.fresh(fresh, mine);
    this.painter.paint(JSON.parse(fresh.dataset.states));
    for (const { mark, words } of mine) {
      if (mark.kind === "undone") this.painter.paint(this.undo.before(words));
      else if (!this.undo.isTakenBack(mark.id)) this.show(mark, words, false);
    }
    this.shown.turn();
  }
}
