// What this page was in the middle of at a step; a reload goes on with it.

const EVENING_MS = 12 * 3600 * 1000; // a tray counted longer ago was not left standing

export class Remembered {
  constructor(assembly, step) {
    this.name = `bench ${assembly} ${step}`;
  }

  read() {
    let kept = null;
    try {
      kept = JSON.parse(sessionStorage.getItem(this.name));
    } catch {
      // nothing is kept here
    }
    const { counted = [], later = [], isSingle = false } = kept ?? {};
    const fresh = counted.filter((one) => Date.now() - Date.parse(one.begun) < EVENING_MS);
    const trays = fresh.map((one) => ({ ...one, ids: new Set(one.ids) }));
    return { counted: trays, later: new Set(later), isSingle };
  }

  write({ counted, later, isSingle }) {
    const trays = counted.map((one) => ({ ...one, ids: [...one.ids] }));
    try {
      sessionStorage.setItem(
        this.name,
        JSON.stringify({ counted: trays, later: [...later], isSingle }),
      );
    } catch {
      // it holds until the page is left
    }
  }
}
