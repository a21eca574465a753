// Which mark a tap means: the nearest within a finger's reach; where others lie as good as on
// top of it, nothing is written before one of them is chosen.

const picking = (() => {
  const { M } = girder;
  let crowd = []; // marks under the last tap, nearest first
  let last = null; // where that tap was

  /** [mark, distance in px] of all within reach, nearest first. */
  function near(x, y) {
    const m = view.matrix();
    const found = [];
    for (const i of drawing.shown) {
      const [sx, sy] = view.at(m, M.x[i], M.y[i]);
      const d = Math.hypot(sx - x, sy - y);
      if (d <= view.REACH) found.push([i, d]);
    }
    return found.sort((a, b) => a[1] - b[1] || a[0] - b[0]);
  }

  /** Marks that cannot be told from this one at this scale. */
  function rivals(first, found) {
    const reach = view.APART / view.v.scale;
    return found.map(([i]) => i).filter((i) =>
      Math.hypot(M.x[i] - M.x[first], M.y[i] - M.y[first]) < reach);
  }

  /** {mark, crowd}: `crowd` has two or more where the tap does not say which. */
  function tap(x, y) {
    const again = crowd.length > 1 && last && Math.hypot(x - last[0], y - last[1]) < view.REACH / 2;
    if (again) {
      crowd.push(crowd.shift());
      return { mark: crowd[0], crowd, again: true };
    }
    const found = near(x, y);
    last = [x, y];
    crowd = found.length ? rivals(found[0][0], found) : [];
    if (crowd.length < 2) crowd = [];
    return { mark: found.length ? found[0][0] : null, crowd, again: false };
  }

  function forget() {
    crowd = [];
    last = null;
  }

  return { tap, forget, near };
})();
