// A fresh panel takes over what a person has half typed or unfolded on the old one.

function places(panel) {
  return [...panel.querySelectorAll("[data-stage], .part, .forgotten, .steps")].map((part) => [
    part.dataset.stage ?? (part.id || part.className),
    part,
  ]);
}

const fieldsOf = (part) =>
  [...part.querySelectorAll("input:not([type=hidden]), textarea, select")];

export function takeOver(old, fresh) {
  const before = new Map(places(old));
  for (const [name, part] of places(fresh)) {
    const was = before.get(name);
    if (!was) continue;
    if (was.open) part.open = true;
    const inner = [...was.querySelectorAll("details")];
    part.querySelectorAll("details").forEach((one, k) => {
      one.open = inner[k]?.open ?? one.open;
    });
    const typed = fieldsOf(was);
    fieldsOf(part).forEach((field, k) => {
      const same = typed[k]?.name === field.name ? typed[k] : null;
      if (!same || same.type === "file") return;
      if (field.type === "checkbox" || field.type === "radio") {
        if (same.value === field.value) field.checked = same.checked;
      } else if (same.value !== same.defaultValue) field.value = same.value;
    });
  }
}

// Whether somebody is typing: then the panel is left alone until they are done.
export function isTyping(panel) {
  const now = document.activeElement;
  return panel.contains(now) && now.matches("input:not([type=checkbox], [type=radio]), textarea, select");
}
