// Dots on the surface, closer together where less is known. They belong to the body, so they turn with it.
const SURE = 6;             // below this there are no dots, mm plus or minus
const UNSURE = 55;          // from here on they stand closest, mm plus or minus
const AREA = 36;            // surface to each dot where they stand closest, mm²
const APART = 3.6;          // no two stand nearer than this, mm
const MOST = 40_000;        // dots; a body has some thousands

// The same body gives the same dots: a number from 0 to 1 that follows from where it stands in the row alone
// (the 32-bit finaliser of MurmurHash3, public domain).
function scattered(number) {
  let bits = number | 0;
  bits = Math.imul(bits ^ (bits >>> 16), 0x85ebca6b);
  bits = Math.imul(bits ^ (bits >>> 13), 0xc2b2ae35);
  return ((bits ^ (bits >>> 16)) >>> 0) / 2 ** 32;
}

// Positions of the dots, three floats each, in no order: the first of them lie all over the body.
export function stipple(positions, values, indices) {
  const dots = [];
  const taken = new Map();
  const cell = (point) => point.map((value) => Math.floor(value / APART));
  const name = ([x, y, z]) => (x + 512) * 1_048_576 + (y + 512) * 1024 + (z + 512);
  const crowded = (point, at) => {
    for (let x = -1; x <= 1; x += 1) for (let y = -1; y <= 1; y += 1) for (let z = -1; z <= 1; z += 1) {
      const other = taken.get(name([at[0] + x, at[1] + y, at[2] + z]));
      if (other && Math.hypot(point[0] - other[0], point[1] - other[1], point[2] - other[2]) < APART) return true;
    }
    return false;
  };
  let due = 0;
  let number = 0;
  for (let at = 0; at < indices.length; at += 3) {
    const [a, b, c] = [indices[at], indices[at + 1], indices[at + 2]];
    const unsure = (values[a] + values[b] + values[c]) / 3;
    const density = Math.min(1, (unsure - SURE) / (UNSURE - SURE));
    if (!(density > 0)) continue;
    const [ax, ay, az] = [positions[3 * a], positions[3 * a + 1], positions[3 * a + 2]];
    const [ux, uy, uz] = [positions[3 * b] - ax, positions[3 * b + 1] - ay, positions[3 * b + 2] - az];
    const [vx, vy, vz] = [positions[3 * c] - ax, positions[3 * c + 1] - ay, positions[3 * c + 2] - az];
    due += (Math.hypot(uy * vz - uz * vy, uz * vx - ux * vz, ux * vy - uy * vx) / 2) * (density / AREA);
    while (due >= 1 && dots.length < 3 * MOST) {
      // The next one is due after one more on average, never regularly: regular ones would stand in rows.
      due -= 0.5 + scattered((number += 1));
      let [s, t] = [scattered((number += 1)), scattered((number += 1))];
      if (s + t > 1) [s, t] = [1 - s, 1 - t];
      const point = [ax + s * ux + t * vx, ay + s * uy + t * vy, az + s * uz + t * vz];
      const place = cell(point);
      if (crowded(point, place)) continue;
      taken.set(name(place), point);
      dots.push(...point);
    }
  }
  const order = Array.from({ length: dots.length / 3 }, (_, at) => at);
  const rank = order.map(scattered);
  order.sort((one, other) => rank[one] - rank[other]);
  return new Float32Array(order.flatMap((at) => dots.slice(3 * at, 3 * at + 3)));
}
