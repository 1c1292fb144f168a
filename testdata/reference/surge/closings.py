"""Highest pressures while valves shut in drawn networks of pipes, computed apart from the program that they check.

Method of characteristics with a regular grid, Courant number 1 (lengths rounded to whole reaches of a much finer grid
than the program's), friction of the steady flow taken explicitly, junctions by their admittances, valves by bisection,
discrete vapour cavities (Wylie and Streeter 1993, ch. 3, 5 and 8, from memory). Each network is a source that loses the
square of the flow, one to three pipes in series of drawn materials, and one to three valves into the open air, most of
them behind a branch of their own, which shut evenly in 5 ms to 2 s, up to 0.5 s apart.

    python3 closings.py > closings.csv
"""
import math
import random

RHO, BULK, VAPOUR = 998.2, 2.19e9, 2339 - 101325.0
MODULUS = {"polyethylene": 0.8e9, "copper": 120e9, "pvc": 3e9, "low-density-polyethylene": 0.2e9}
RATIO = {"polyethylene": 9, "copper": 15, "pvc": 14, "low-density-polyethylene": 10}  # bore by wall
BAR = 1e5


def speed(bore, wall, material):
    return math.sqrt(BULK / RHO) / math.sqrt(1 + BULK / MODULUS[material] * bore / wall)


class Reaches:
    """A pipe that is cut into reaches."""

    def __init__(self, pipe, heads, dt):
        self.a, self.b, length, bore, wall, material, q = pipe
        a = speed(bore, wall, material)
        self.n = n = max(1, round(length / a / dt))
        self.z = RHO * a / (math.pi / 4 * bore * bore)
        drop = heads[self.a] - heads[self.b]
        self.r = max(0.0, drop / (q * abs(q))) / n
        self.h = [heads[self.a] - drop * i / n for i in range(n + 1)]
        self.up, self.down = [q] * (n + 1), [q] * (n + 1)  # flow before and behind the cavity of each point
        self.v = [0.0] * (n + 1)

    def plus(self, i):
        q = self.down[i]
        return self.h[i] + q * (self.z - self.r * abs(q))

    def minus(self, i):
        q = self.up[i]
        return self.h[i] - q * (self.z - self.r * abs(q))

    def step(self, dt):
        """Take the points within the pipe on; report whether there is a cavity."""
        h, up, down, parted, z = self.h[:], self.up[:], self.down[:], False, self.z
        for i in range(1, self.n):
            p, m = self.plus(i - 1), self.minus(i + 1)
            head, u, d = (p + m) / 2, (p - m) / 2 / z, (p - m) / 2 / z
            if head < VAPOUR or self.v[i] > 0:
                parted = True
                self.v[i] += ((VAPOUR - m) / z - (p - VAPOUR) / z) * dt
                if self.v[i] > 0:
                    head, u, d = VAPOUR, (p - VAPOUR) / z, (VAPOUR - m) / z
                else:
                    self.v[i] = 0.0
            h[i], up[i], down[i] = head, u, d
        self.first, self.last = self.minus(1), self.plus(self.n - 1)
        self.h, self.up, self.down = h, up, down
        return parted

    def end(self, heads):
        self.h[0], self.h[-1] = heads[self.a], heads[self.b]
        self.up[0] = self.down[0] = (heads[self.a] - self.first) / self.z
        self.up[-1] = self.down[-1] = (self.last - heads[self.b]) / self.z


def source(c, z, static, loss):
    """The head at a source that loses the square of its flow, before a pipe from which c arrives."""
    d = static - c
    q = (-z + math.sqrt(z * z + 4 * loss * abs(d))) / (2 * loss)
    return c + z * math.copysign(q, d)


def outlet(c, z, losses):
    """The head before openings into the air, and what they let out."""
    flow = lambda head: sum(math.sqrt(max(head, 0) / k) for k in losses)
    if not losses or c <= 0:
        return c, 0.0
    low, high = 0.0, c
    for _ in range(60):
        mid = (low + high) / 2
        low, high = (mid, high) if c - z * flow(mid) > mid else (low, mid)
    return (low + high) / 2, flow((low + high) / 2)


def follow(network, dt, until):
    """The highest and lowest head of each node, and whether the water parted."""
    heads, pipes, valves, static, total = network
    reaches = [Reaches(p, heads, dt) for p in pipes]
    loss = (static - heads[0]) / total**2
    open_loss = [heads[v[0]] / v[1] ** 2 for v in valves]
    heads, cavity = list(heads), [0.0] * len(heads)
    peak, low, parted, t = list(heads), list(heads), False, 0.0
    while t < until:
        t += dt
        s, g = [0.0] * len(heads), [0.0] * len(heads)
        for r in reaches:
            parted |= r.step(dt)
            s[r.a] += r.first / r.z
            s[r.b] += r.last / r.z
            g[r.a] += 1 / r.z
            g[r.b] += 1 / r.z
        for i in range(len(heads)):
            c, z = s[i] / g[i], 1 / g[i]
            if i == 0:
                head = source(c, z, static, loss)
            else:
                shares = [(k, 1 - (t - v[2]) / v[3]) for k, v in zip(open_loss, valves) if v[0] == i]
                head, out = outlet(c, z, [k / min(1, x) ** 2 for k, x in shares if x > 0])
                if head < VAPOUR or cavity[i] > 0:
                    parted = True
                    cavity[i] += ((VAPOUR - c) / z) * dt
                    if cavity[i] > 0:
                        head = VAPOUR
                    else:
                        cavity[i] = 0.0
            heads[i] = head
            peak[i], low[i] = max(peak[i], head), min(low[i], head)
        for r in reaches:
            r.end(heads)
    return peak, low, parted


def travel(pipe):
    return pipe[2] / speed(pipe[3], pipe[4], pipe[5])


def solve(network):
    """Follow 6 return times after the last stroke, and 8 once the water parts, of which the highest counts."""
    heads, pipes, valves, *_ = network
    end = max(v[2] + v[3] for v in valves)
    away = {0: 0.0}
    for p in pipes:
        away[p[1]] = away[p[0]] + travel(p)
    longest = max(travel(p) for p in pipes)
    dt = min(max(min(travel(p) for p in pipes) / 8, longest / 500), longest / 160)
    result = follow(network, dt, end + 6 * 2 * max(away.values()))
    return follow(network, dt, end + 8 * 2 * max(away.values())) if result[2] else result


def draw(r):
    """A network in steady flow; None for one with too little pressure."""
    valves, series, static = r.choice([1, 2, 2, 3]), r.choice([1, 1, 2, 3]), r.uniform(2.5, 7) * BAR
    flows = [r.uniform(4, 25) / 60000 for _ in range(valves)]
    head = static * r.uniform(0.9, 0.98)
    heads, pipes, shut, at = [head], [], [], 0
    begins = 0.0

    def pipe(start, q, head, longest=150.0):
        length, material = min(math.exp(r.uniform(math.log(3), math.log(150))), longest), r.choice(
            ["polyethylene", "copper", "pvc", "polyethylene", "low-density-polyethylene"])
        bore = math.sqrt(4 / math.pi * q / r.uniform(0.6, 2.0))
        v = q / (math.pi / 4 * bore * bore)
        heads.append(head - 0.02 * length / bore * RHO * v * v / 2)
        pipes.append((start, len(heads) - 1, length, bore, bore / RATIO[material], material, q))
        return len(heads) - 1

    for _ in range(series):
        at = pipe(at, sum(flows), heads[at])
    for q in flows:
        node = pipe(at, q, heads[at], 60.0) if valves > 1 or r.random() < 0.3 else at
        shut.append((node, q, begins, math.exp(r.uniform(math.log(0.005), math.log(2)))))
        begins += r.choice([0, 0, 0.003, 0.02, 0.1, 0.5])
    return (heads, pipes, shut, static, sum(flows)) if min(heads) > 0.3 * BAR else None


def main():
    r, case = random.Random(20), 0
    print("case,kind,node,head,highest,lowest,parted,from,to,length,bore,wall,material,flow,begins,stroke,static")
    while case < 18:
        network = draw(r)
        if network is None:
            continue
        heads, pipes, valves, static, _ = network
        peak, low, parted = solve(network)
        for i, h in enumerate(heads):
            print(f"{case},node,{i},{h:.9g},{peak[i]:.6g},{low[i]:.6g},{int(parted)},,,,,,,,,,"
                  f"{static if i == 0 else ''}")
        for a, b, length, bore, wall, material, q in pipes:
            print(f"{case},pipe,,,,,,{a},{b},{length:.6g},{bore:.6g},{wall:.6g},{material},{q:.9g},,,")
        for node, q, begins, stroke in valves:
            print(f"{case},valve,{node},,,,,,,,,,,{q:.9g},{begins:g},{stroke:.6g},", flush=True)
        case += 1


if __name__ == "__main__":
    main()
