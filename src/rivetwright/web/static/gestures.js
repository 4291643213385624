// Fingers, mouse, wheel and keys on the map, turned into moves of the view.

const TAP_PX = 8;
const KEY_PX = 60;
const KEY_ZOOM = 1.5;
const WHEEL_REST_MS = 180;

export function listen(frame, view, tapped, nearer) {
  const fingers = new Map();
  let travelled = 0;

  const middle = () => {
    const all = [...fingers.values()];
    const x = all.reduce((sum, one) => sum + one.x, 0) / all.length;
    const y = all.reduce((sum, one) => sum + one.y, 0) / all.length;
    const [a, b] = all;
    const apart = b ? Math.hypot(a.x - b.x, a.y - b.y) : 0;
    return { x, y, apart };
  };

  frame.addEventListener("pointerdown", (event) => {
    if (event.button > 0) return;
    view.stopFlight();
    if (!fingers.size) travelled = 0;
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    frame.setPointerCapture(event.pointerId);
  });

  frame.addEventListener("pointermove", (event) => {
    if (!fingers.has(event.pointerId)) return;
    const before = middle();
    fingers.set(event.pointerId, { x: event.clientX, y: event.clientY });
    const after = middle();
    travelled += Math.hypot(after.x - before.x, after.y - before.y);
    if (fingers.size > 1) travelled += TAP_PX + 1;
    if (travelled <= TAP_PX) return;
    frame.dataset.moving = "yes";
    view.moveBy(after.x - before.x, after.y - before.y);
    if (before.apart && after.apart) {
      view.zoomBy(after.apart / before.apart, after.x, after.y);
    }
  });

  const lift = (event) => {
    if (!fingers.delete(event.pointerId) || fingers.size) return;
    delete frame.dataset.moving;
    if (travelled > TAP_PX) view.rest();
    else if (event.type === "pointerup") tapped(event.clientX, event.clientY);
  };
  frame.addEventListener("pointerup", lift);
  frame.addEventListener("pointercancel", lift);

  let resting = 0;
  frame.addEventListener(
    "wheel",
    (event) => {
      event.preventDefault();
      view.stopFlight();
      const lines = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 16 : 1;
      const turned = Math.max(-240, Math.min(240, event.deltaY * lines));
      view.zoomBy(Math.exp(-turned / 400), event.clientX, event.clientY);
      clearTimeout(resting);
      resting = setTimeout(() => view.rest(), WHEEL_REST_MS);
    },
    { passive: false },
  );

  const keys = {
    ArrowLeft: () => view.moveBy(KEY_PX, 0),
    ArrowRight: () => view.moveBy(-KEY_PX, 0),
    ArrowUp: () => view.moveBy(0, KEY_PX),
    ArrowDown: () => view.moveBy(0, -KEY_PX),
    "+": () => nearer(KEY_ZOOM),
    "=": () => nearer(KEY_ZOOM),
    "-": () => nearer(1 / KEY_ZOOM),
    0: () => view.fit(),
  };
  frame.addEventListener("keydown", (event) => {
    const act = keys[event.key];
    if (!act || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    view.stopFlight();
    act();
    view.rest();
  });
}
