// Fingers, pens and mice on the drawing: a tap, a drag, two fingers to zoom, a wheel.

const touch = (() => {
  const SLOP = 12; // px that a gloved finger slips while it taps
  const down = new Map();
  let moved = false;
  let many = false;
  let start = null;

  const place = (e) => {
    const box = byId('picture').getBoundingClientRect();
    return [e.clientX - box.left, e.clientY - box.top];
  };

  const span = () => {
    const [a, b] = [...down.values()];
    return { x: (a[0] + b[0]) / 2, y: (a[1] + b[1]) / 2, d: Math.hypot(a[0] - b[0], a[1] - b[1]) };
  };

  function press(e) {
    if (e.pointerType === 'mouse' && e.button !== 0) return;
    e.currentTarget.setPointerCapture(e.pointerId);
    down.set(e.pointerId, place(e));
    if (down.size === 1) {
      [moved, many] = [false, false];
      start = place(e);
    } else many = true;
  }

  function move(e) {
    if (!down.has(e.pointerId)) return;
    const [before, now] = [down.get(e.pointerId), place(e)];
    if (down.size === 1) {
      if (!moved && Math.hypot(now[0] - start[0], now[1] - start[1]) < SLOP) return;
      moved = true;
      down.set(e.pointerId, now);
      view.pan(now[0] - before[0], now[1] - before[1]);
    } else if (down.size === 2) {
      const was = span();
      down.set(e.pointerId, now);
      const is = span();
      view.pan(is.x - was.x, is.y - was.y);
      if (was.d > 10) view.zoom(is.d / was.d, is.x, is.y);
    }
    drawing.soon();
  }

  function lift(tapped) {
    return (e) => {
      if (!down.delete(e.pointerId) || e.type !== 'pointerup') return;
      if (!down.size && !moved && !many) tapped(...start);
      moved = true; // the finger that stays after a pinch does not tap
    };
  }

  function wheel(e) {
    e.preventDefault();
    view.zoom(Math.exp(-e.deltaY / 400), ...place(e));
    drawing.soon();
  }

  function listen(tapped) {
    const picture = byId('picture');
    picture.addEventListener('pointerdown', press);
    picture.addEventListener('pointermove', move);
    picture.addEventListener('pointerup', lift(tapped));
    picture.addEventListener('pointercancel', lift(tapped));
    picture.addEventListener('wheel', wheel, { passive: false });
  }

  return { listen };
})();
