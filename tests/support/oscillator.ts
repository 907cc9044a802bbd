/** A second method for the tests of vibration: mass, spring and damper integrated step by step (classical Runge–Kutta), no formula of calc in it. */

export interface Peak {
  readonly time: number;
  readonly height: number;
}

/** Let go at `start` from rest: m·x″ + c·x′ + k·x = 0. Peaks above rest after the start, then dips below it; each set of the parabola through three steps. */
export function released(m: number, c: number, k: number, start: number, until: number, steps: number): { peaks: Peak[]; dips: Peak[] } {
  const dt = until / steps;
  const pull = (x: number, v: number): number => -(c * v + k * x) / m;
  let x = start;
  let v = 0;
  const xs = [x];
  for (let i = 0; i < steps; i += 1) {
    const [x1, v1] = [v, pull(x, v)];
    const [x2, v2] = [v + (v1 * dt) / 2, pull(x + (x1 * dt) / 2, v + (v1 * dt) / 2)];
    const [x3, v3] = [v + (v2 * dt) / 2, pull(x + (x2 * dt) / 2, v + (v2 * dt) / 2)];
    const [x4, v4] = [v + v3 * dt, pull(x + x3 * dt, v + v3 * dt)];
    x += (dt * (x1 + 2 * x2 + 2 * x3 + x4)) / 6;
    v += (dt * (v1 + 2 * v2 + 2 * v3 + v4)) / 6;
    xs.push(x);
  }
  const peaks: Peak[] = [];
  const dips: Peak[] = [];
  for (let i = 1; i < steps; i += 1) {
    const [a, b, d] = [xs[i - 1]!, xs[i]!, xs[i + 1]!];
    if ((b - a) * (d - b) > 0) continue;
    const curve = a - 2 * b + d;
    const shift = (a - d) / (2 * curve);
    const turn = { time: (i + shift) * dt, height: b - ((a - d) * shift) / 4 };
    (curve < 0 ? peaks : dips).push(turn);
  }
  return { peaks, dips };
}
