// The filter form works at once; without script it is sent and the server does it.

import { tell, writeAddress } from "./bus.js";

export function start(form) {
  const fields = [...form.querySelectorAll("select")];
  const lines = [...document.querySelectorAll("tr[data-hole]")];
  const tables = [...document.querySelectorAll("[data-row-table]")];
  const count = form.querySelector("output");
  form.querySelector("[type=submit]").hidden = true;
  const clear = form.querySelector(".clear");

  const matches = (line) =>
    fields.every((field) => {
      const values = (line.dataset[field.name] ?? "").split("|");
      return !field.value || values.includes(field.value);
    });

  const apply = () => {
    const isOn = fields.some((field) => field.value);
    const kept = lines.filter((line) => {
      line.hidden = !matches(line);
      return !line.hidden;
    });
    for (const table of tables) {
      table.hidden = !table.querySelector("tr[data-hole]:not([hidden])");
    }
    tell("light", { names: isOn ? kept.map((line) => line.dataset.hole) : null, keep: true });
    count.textContent = form.dataset.count
      .replace("{found}", kept.length)
      .replace("{of}", lines.length);
    clear.hidden = !isOn;
  };

  const changed = () => {
    apply();
    const wanted = Object.fromEntries(fields.map((field) => [field.name, field.value]));
    writeAddress(wanted);
    for (const link of document.querySelectorAll(".faces a")) {
      const address = new URL(link.href);
      for (const [name, value] of Object.entries(wanted)) {
        if (value) address.searchParams.set(name, value);
        else address.searchParams.delete(name);
      }
      link.href = address;
    }
  };

  form.addEventListener("change", changed);
  form.addEventListener("submit", (event) => event.preventDefault());
  clear.addEventListener("click", (event) => {
    event.preventDefault();
    for (const field of fields) field.value = "";
    changed();
    fields[0].focus();
  });
  // The server has filtered already; the map is only told which holes are meant.
  if (fields.some((field) => field.value)) apply();
}
