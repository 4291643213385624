// What is still asked of a field, in our own words beside it.

import { unknownHole } from "./marks.js";
import { leadBack } from "./run.js";

const MB = 1024 * 1024;
const SHOWN_ROWS = 8;

export class Fields {
  constructor(root) {
    this.words = JSON.parse(root.dataset.fields);
    this.lasts = JSON.parse(root.dataset.lasts);
    this.isLed = false;
    root.addEventListener("invalid", (event) => this.refused(event), true);
    root.addEventListener("input", ({ target }) => this.typed(target));
    root.addEventListener("change", ({ target }) => this.changed(target));
  }

  // The browser's own bubble stays away; the first field is led to.
  refused(event) {
    const field = event.target;
    event.preventDefault();
    this.clear(field);
    const said = document.createElement("small");
    said.className = "field-said";
    said.setAttribute("role", "alert");
    said.textContent = this.said(field);
    (field.closest("label") ?? field).append(said);
    if (this.isLed) return;
    this.isLed = true;
    // After the last of them: each is told by an event of its own.
    setTimeout(() => {
      this.isLed = false;
      const fold = field.closest("details");
      if (fold) fold.open = true;
      field.focus();
    });
  }

  said(field) {
    const { words } = this;
    const { validity } = field;
    if (validity.customError) return field.validationMessage;
    if (validity.valueMissing && field.type === "file") return words.file;
    const label = field.closest("label")?.firstChild.textContent.trim() ?? "";
    if (validity.valueMissing && !validity.badInput) return words.missing.replace("{label}", label);
    return field.type === "date" ? words.day : words.number;
  }

  typed(field) {
    if (field.type !== "file") field.setCustomValidity?.("");
    this.clear(field);
  }

  clear(field) {
    field.closest?.("label")?.querySelector(".field-said")?.remove();
  }

  changed(field) {
    this.weigh(field);
    leadBack(field);
  }

  // A photo larger than can be taken is told before it is sent.
  weigh(field) {
    if (field.type !== "file") return;
    const size = field.files[0]?.size ?? 0;
    const most = Number(field.dataset.most);
    const found = Math.ceil((10 * size) / MB) / 10;
    const said = this.words.large.replace("{found}", found).replace("{most}", Math.floor(most / MB));
    field.setCustomValidity(size > most ? said : "");
    this.clear(field);
    if (size > most) field.reportValidity();
  }

  // Holes typed by a name that the plan does not have: which, and what it has.
  nameUnknown(form) {
    const field = form.elements.names;
    const unknown = field && unknownHole(field.value, this.lasts);
    if (!unknown) return false;
    const { found, row } = unknown;
    const { words, lasts } = this;
    const rows = Object.keys(lasts);
    const near = rows.filter((one) => one[0] === found[0]);
    const some = (near.length ? near : rows).slice(0, SHOWN_ROWS);
    const allowed = some.length < rows.length ? `${some.join(", ")}, ...` : some.join(", ");
    const said = row
      ? words.number_of.replace("{row}", row).replace("{last}", lasts[row])
      : words.row_of.replace("{allowed}", allowed);
    field.setCustomValidity(said.replace("{found}", found));
    field.reportValidity();
    return true;
  }
}
