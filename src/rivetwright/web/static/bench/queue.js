// Marks of this device, kept on its disk until the laptop has them on its own.

const NAME = "rivetwright-marks";
const MARKS = "marks";
const COUNTS = "counts";

export function freshId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (one) => one.toString(16).padStart(2, "0")).join("");
}

const answered = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

const finished = (transaction) =>
  new Promise((resolve, reject) => {
    transaction.oncomplete = () => resolve();
    transaction.onabort = () => reject(transaction.error);
    transaction.onerror = () => reject(transaction.error);
  });

export class Queue {
  // seq: how far the laptop knows this device to have counted.
  static async open(seq) {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      asked.result.createObjectStore(MARKS, { keyPath: "id" });
      asked.result.createObjectStore(COUNTS);
    };
    return new Queue(await answered(asked), seq);
  }

  constructor(database, seq) {
    this.database = database;
    this.seq = seq;
    this.waiting = 0;
  }

  write(stores) {
    return this.database.transaction(stores, "readwrite", { durability: "strict" });
  }

  // Count and mark in one transaction: a number is never given to two marks.
  async add(mark, more = {}) {
    const writing = this.write([MARKS, COUNTS]);
    const counts = writing.objectStore(COUNTS);
    const counted = counts.get("seq");
    counted.onsuccess = () => {
      const device_seq = Math.max(counted.result ?? 0, this.seq) + 1;
      counts.put(device_seq, "seq");
      const kept = { id: mark.id, ...more, mark: { ...mark, device_seq } };
      writing.objectStore(MARKS).put(kept);
    };
    this.waiting += 1;
    await finished(writing);
  }

  async all() {
    const reading = this.database.transaction(MARKS, "readonly");
    const found = await answered(reading.objectStore(MARKS).getAll());
    found.sort((a, b) => a.mark.device_seq - b.mark.device_seq);
    this.waiting = found.length;
    return found;
  }

  async drop(ids) {
    const writing = this.write([MARKS]);
    for (const id of ids) writing.objectStore(MARKS).delete(id);
    await finished(writing);
  }

  // A refused mark goes again: with the reason now given, and what is known by now.
  answer(id, reason, saw) {
    return this.change(id, ({ refused, ...one }) => {
      const body = reason ? { ...one.mark.body, reason } : one.mark.body;
      return { ...one, mark: { ...one.mark, saw: Math.max(one.mark.saw, saw), body } };
    });
  }

  // Change what is kept of one mark: why it was refused, or the reason now given.
  async change(id, act) {
    const writing = this.write([MARKS]);
    const marks = writing.objectStore(MARKS);
    const found = marks.get(id);
    found.onsuccess = () => {
      if (found.result) marks.put(act(found.result));
    };
    await finished(writing);
  }
}
