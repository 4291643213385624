// What the modules of a page tell each other; none of them knows another.
//   choose  {name, from}   a hole was chosen
//   light   {names, fly}   these holes are meant; names null: none in particular

const bus = new EventTarget();

export function tell(what, detail) {
  bus.dispatchEvent(new CustomEvent(what, { detail }));
}

export function hear(what, act) {
  bus.addEventListener(what, (event) => act(event.detail));
}

// Keep the address in step with what is shown, so that it can be kept or sent on.
export function writeAddress(changes) {
  const address = new URL(location.href);
  for (const [name, value] of Object.entries(changes)) {
    if (value) address.searchParams.set(name, value);
    else address.searchParams.delete(name);
  }
  history.replaceState(null, "", address);
}
