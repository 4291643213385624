// One run on the panel: as a whole, with some left out, or hole by hole.

const leftOf = (section) => [...section.querySelectorAll('[name="but"]')];

// The chips stand in the order of their numbers; the work may go in another.
function nextOf(chips) {
  const turn = (chip) => Number(chip.dataset.turn);
  return chips.reduce((first, chip) => (turn(chip) < turn(first) ? chip : first));
}

// Words on the large button: how many it says are set, or which hole comes next.
export function label(section, isSingle) {
  const button = section.querySelector(".done-all");
  if (!button) return;
  const chips = leftOf(section);
  const count = chips.filter((chip) => !chip.checked).length;
  section.classList.toggle("is-single", isSingle);
  const name = section.querySelector(".single-name");
  const place = section.querySelector(".single-place");
  for (const one of [name, place]) one.hidden = !isSingle;
  if (isSingle && chips.length) {
    const next = nextOf(chips).dataset;
    name.textContent = next.name;
    place.textContent = place.dataset.words.replace("{place}", next.place);
    button.textContent = button.dataset.single.replace("{name}", next.name);
  } else button.textContent = button.dataset.all.replace("{count}", count);
  const singly = section.querySelector(".singly");
  singly.textContent = isSingle ? singly.dataset.on : singly.dataset.off;
  singly.setAttribute("aria-pressed", isSingle ? "true" : "false");
}

// What is wrong with a run before it is sent: a rivet left over and no hole named, or
// another rivet without a reason. True: it may be sent.
export function mayBeSent(section, form, isSingle) {
  const other = form.elements["text.callout"];
  const reason = form.elements["text.reason"];
  const planned = JSON.parse(form.elements.body.value).callout;
  if (other.value.trim() && other.value.trim() !== planned && !reason.value.trim()) {
    reason.required = true;
    reason.reportValidity();
    reason.required = false; // another press may come without another rivet
    return false;
  }
  if (isSingle) return true;
  const chips = leftOf(section);
  if (chips.every((chip) => chip.checked)) return false;
  const over = Number(form.elements["whole.left_over"].value);
  if (over && !chips.some((chip) => chip.checked) && !form.dataset.looked) {
    form.dataset.looked = "yes";
    const except = section.querySelector(".except");
    except.open = true;
    except.scrollIntoView({ block: "center" });
    return false;
  }
  return true;
}

// Whoever has answered in a fold sees the large button again, to press it.
export function leadBack(field) {
  const form = field.closest(".run-form");
  if (form && field.matches("select, [type=radio]")) {
    form.querySelector(".done-all").scrollIntoView({ block: "nearest" });
  }
}

// A single hole is no run: neither tray nor time is kept of it.
export function singleBody(body, section, hole) {
  const { tray_count, left_over, run_s, ...single } = body;
  return { ...single, holes: [hole || nextOf(leftOf(section)).value] };
}
