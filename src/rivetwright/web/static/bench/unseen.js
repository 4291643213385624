// Marks that the panel from the laptop does not show yet: those that wait here, and
// those that arrived there after it was made. The latter are kept on this device too:
// without the link the page comes back with an older panel.

const NAME = "rivetwright-arrived ";
const MOST = 200;

function kept(assembly) {
  try {
    return JSON.parse(localStorage.getItem(NAME + assembly)) ?? [];
  } catch {
    return [];
  }
}

function keep(assembly, marks) {
  try {
    if (marks.length) localStorage.setItem(NAME + assembly, JSON.stringify(marks.slice(-MOST)));
    else localStorage.removeItem(NAME + assembly);
  } catch {
    // known until the page is left
  }
}

export class Unseen {
  constructor(queue, assembly) {
    this.queue = queue;
    this.assembly = assembly;
    this.known = kept(assembly);
    this.puts = 0;
  }

  // Marks of another assembly may have waited here; its own page goes on with them.
  arrived(answered, sent) {
    const places = new Map(answered.map((one) => [one.id, one.seq]));
    for (const { file, ...one } of sent) {
      if (!places.has(one.id)) continue;
      const { assembly } = one.mark;
      const known = assembly === this.assembly ? this.known : kept(assembly);
      known.push({ ...one, seq: places.get(one.id) });
      keep(assembly, known);
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
    const before = this.known.length;
    this.known = this.known.filter((one) => one.seq > position);
    if (this.known.length !== before) keep(this.assembly, this.known);
    const ids = new Set(waiting.map((one) => one.id));
    const every = [...this.known.filter((one) => !ids.has(one.id)), ...waiting];
    return every.filter((one) => !one.refused && one.mark.assembly === this.assembly);
  }
}
