// On a narrow screen the list of faces is longer than the screen: the face that is
// shown is brought into sight.

export function start(list) {
  const here = list.querySelector("[aria-current]");
  if (here) list.scrollLeft = here.offsetLeft - (list.clientWidth - here.offsetWidth) / 2;
}
