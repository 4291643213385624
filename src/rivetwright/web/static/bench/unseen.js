// Marks that the panel from the laptop does not show yet: those that wait here, and
// those that arrived there after it was made.

export class Unseen {
  constructor(queue, assembly) {
    this.queue = queue;
    this.assembly = assembly;
    this.known = [];
    this.puts = 0;
  }

  arrived(kept, sent) {
    const places = new Map(kept.map((one) => [one.id, one.seq]));
    for (const one of sent) {
      if (places.has(one.id)) this.known.push({ ...one, seq: places.get(one.id) });
    }
  }

  // One more mark may be put while the others are read: then they are read again.
  async all(position) {
    let waiting = [];
    let puts = -1;
    while (puts !== this.puts) {
      ({ puts } = this);
      waiting = await this.queue.all();
    }
    this.known = this.known.filter((one) => one.seq > position);
    const ids = new Set(waiting.map((one) => one.id));
    const every = [...this.known.filter((one) => !ids.has(one.id)), ...waiting];
    return every.filter((one) => !one.refused && one.mark.assembly === this.assembly);
  }
}
