// Holes written as ranges, `A11:1-36 A12:4`, and the names they stand for.

export function namesOf(ranges) {
  return ranges.split(" ").filter(Boolean).flatMap((range) => {
    const colon = range.lastIndexOf(":");
    const row = range.slice(0, colon);
    const [first, last = first] = range.slice(colon + 1).split("-").map(Number);
    return Array.from({ length: last - first + 1 }, (_, k) => `${row}:${first + k}`);
  });
}
