// SHA-256 of a text in UTF-8 (FIPS 180-4). The browser's own is absent outside secure contexts.

const sha256 = (() => {
  const primes = [];
  for (let n = 2; primes.length < 64; n += 1) if (primes.every((p) => n % p)) primes.push(n);
  const part = (x) => Math.floor((x - Math.floor(x)) * 2 ** 32);
  const K = primes.map((p) => part(Math.cbrt(p)));
  const START = primes.slice(0, 8).map((p) => part(Math.sqrt(p)));
  const turn = (x, n) => (x >>> n) | (x << (32 - n));

  function padded(text) {
    const bytes = new TextEncoder().encode(text);
    const size = Math.ceil((bytes.length + 9) / 64) * 64;
    const block = new Uint8Array(size);
    block.set(bytes);
    block[bytes.length] = 0x80;
    const view = new DataView(block.buffer);
    view.setUint32(size - 8, Math.floor(bytes.length / 2 ** 29));
    view.setUint32(size - 4, (bytes.length * 8) >>> 0);
    return view;
  }

  function round(h, w) {
    let [a, b, c, d, e, f, g, k] = h;
    for (let i = 0; i < 64; i += 1) {
      const s1 = turn(e, 6) ^ turn(e, 11) ^ turn(e, 25);
      const one = (k + s1 + ((e & f) ^ (~e & g)) + K[i] + w[i]) | 0;
      const s0 = turn(a, 2) ^ turn(a, 13) ^ turn(a, 22);
      const two = (s0 + ((a & b) ^ (a & c) ^ (b & c))) | 0;
      [k, g, f, e, d, c, b, a] = [g, f, e, (d + one) | 0, c, b, a, (one + two) | 0];
    }
    return [a, b, c, d, e, f, g, k].map((x, i) => (x + h[i]) | 0);
  }

  return (text) => {
    const view = padded(text);
    let h = START.map((x) => x | 0);
    for (let at = 0; at < view.byteLength; at += 64) {
      const w = new Int32Array(64);
      for (let i = 0; i < 16; i += 1) w[i] = view.getInt32(at + 4 * i);
      for (let i = 16; i < 64; i += 1) {
        const s0 = turn(w[i - 15], 7) ^ turn(w[i - 15], 18) ^ (w[i - 15] >>> 3);
        const s1 = turn(w[i - 2], 17) ^ turn(w[i - 2], 19) ^ (w[i - 2] >>> 10);
        w[i] = (w[i - 16] + s0 + w[i - 7] + s1) | 0;
      }
      h = round(h, w);
    }
    return h.map((x) => (x >>> 0).toString(16).padStart(8, '0')).join('');
  };
})();
