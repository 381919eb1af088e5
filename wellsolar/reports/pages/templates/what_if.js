// What if: a pump on its system, a pressure tank, an element on modules, a heated tank, a handle; in
// SI. Held to the formulas of `wellsolar/physics` by the tests.
const core = (() => {
  "use strict";

  // Between which two of a row of rising numbers one lies, and how far along.
  const between = (axis, at) => {
    const last = axis.length - 2;
    let place = 0;
    while (place < last && axis[place + 1] <= at) place += 1;
    return [place, (at - axis[place]) / (axis[place + 1] - axis[place])];
  };

  const GRAVITY = 9.80665;

  // Where a falling function crosses zero between two bounds.
  const crossing = (spare, low, high) => {
    let [left, right] = [low, high];
    for (let step = 0; step < 200; step += 1) {
      const middle = (left + right) / 2;
      if (middle === left || middle === right) break;
      if (spare(middle) > 0) left = middle;
      else right = middle;
    }
    return (left + right) / 2;
  };

  const onCubics = (curve, at) => {
    const last = curve.knots.length - 2;
    let piece = 0;
    while (piece < last && curve.knots[piece + 1] <= at) piece += 1;
    const [a, b, c, d] = curve.pieces[piece];
    const x = at - curve.knots[piece];
    return ((a * x + b) * x + c) * x + d;
  };

  const velocityHead = (flow, bore) => (flow / (Math.PI / 4 * bore ** 2)) ** 2 / (2 * GRAVITY);

  // Darcy-Weisbach; Colebrook above the laminar limit, by Newton in 1/sqrt(f).
  const friction = (pipe, viscosity, flow) => {
    if (flow <= 0) return 0;
    const reynolds = flow / (Math.PI / 4 * pipe.bore ** 2) * pipe.bore / viscosity;
    let factor = 64 / reynolds;
    if (reynolds >= 2040) {
      let x = 7;
      for (let step = 0; step < 30; step += 1) {
        const inside = pipe.roughness / 3.7 + 2.51 * x / reynolds;
        const off = x + 2 * Math.log10(inside);
        const next = x - off / (1 + 2 * 2.51 / reynolds / inside / Math.LN10);
        if (Math.abs(next - x) < 1e-15 * Math.abs(x)) { x = next; break; }
        x = next;
      }
      factor = 1 / x ** 2;
    }
    return factor * pipe.length / pipe.bore * velocityHead(flow, pipe.bore);
  };

  const levelAt = (pump, rest, flow) => {
    const deepest = Math.max(rest, pump.floor);
    if (pump.capacity === null) return deepest;
    return Math.min(rest + flow / pump.capacity + pump.well_loss * flow ** 2, deepest);
  };

  const wellGives = (pump, rest) => {
    if (pump.capacity === null) return Infinity;
    const drawn = Math.max(0, pump.floor - rest);
    const [b, c] = [1 / pump.capacity, pump.well_loss];
    return c === 0 ? drawn / b : 2 * drawn / (b + Math.sqrt(b ** 2 + 4 * c * drawn));
  };

  const systemHead = (pump, rest, flow, pressure) => {
    let head = levelAt(pump, rest, flow) + pump.elevation;
    head += (pressure + pump.treatment) / (pump.density * GRAVITY);
    head += friction(pump.drop, pump.viscosity, flow) + friction(pump.lateral, pump.viscosity, flow);
    const motion = velocityHead(flow, pump.lateral.bore);
    head += (pump.loss_coefficient + 1) * motion;
    for (const late of pump.late)
      head += late.count * (late.like
        ? friction(late.like, pump.viscosity, flow)
        : Math.max(late.k * velocityHead(flow, late.bore), late.opening_head));
    return head;
  };

  const atWork = (pump, rest, pressure) => {
    const { knots } = pump.head;
    const [first, last] = [knots[0], knots[knots.length - 1]];
    const spare = (flow) => onCubics(pump.head, flow) - systemHead(pump, rest, flow, pressure);
    let own = 0;
    if (spare(first) >= 0) own = spare(last) > 0 ? last : crossing(spare, first, last);
    const flow = Math.min(own, wellGives(pump, rest));
    const head = systemHead(pump, rest, flow, pressure);
    const lifted = flow < own ? onCubics(pump.head, own) : head;
    const water = pump.density * GRAVITY * own * lifted;
    const power = pump.power
      ? onCubics(pump.power, Math.max(own, pump.power.knots[0]))
      : water / pump.efficiency;
    return { flow, head, power, current: pump.per_watt * power };
  };

  // A monotone curve through points, by Fritsch and Carlson.
  const monotone = (x, y) => {
    const steps = x.slice(1).map((each, at) => each - x[at]);
    const slopes = steps.map((step, at) => (y[at + 1] - y[at]) / step);
    const end = (h0, h1, s0, s1) => {
      const slope = ((2 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
      if (Math.sign(slope) !== Math.sign(s0)) return 0;
      return Math.sign(s0) !== Math.sign(s1) && Math.abs(slope) > 3 * Math.abs(s0) ? 3 * s0 : slope;
    };
    const inner = slopes.slice(1).map((slope, at) => {
      const [h0, h1, s0] = [steps[at], steps[at + 1], slopes[at]];
      if (s0 * slope <= 0) return 0;
      const [w1, w2] = [2 * h1 + h0, h1 + 2 * h0];
      return (w1 + w2) / (w1 / s0 + w2 / slope);
    });
    const many = steps.length;
    const tangents = many === 1 ? [slopes[0], slopes[0]] : [
      end(steps[0], steps[1], slopes[0], slopes[1]), ...inner,
      end(steps[many - 1], steps[many - 2], slopes[many - 1], slopes[many - 2]),
    ];
    const pieces = steps.map((h, at) => [
      (tangents[at] + tangents[at + 1] - 2 * slopes[at]) / h ** 2,
      (3 * slopes[at] - 2 * tangents[at] - tangents[at + 1]) / h, tangents[at], y[at],
    ]);
    return { knots: x, pieces };
  };

  const stored = (size, pressure) =>
    size.tank_volume * (1 - Math.min((size.precharge + size.atmosphere) / (pressure + size.atmosphere), 1));

  const drawdown = (size) => stored(size, size.cut_out) - stored(size, size.cut_in);

  // Time from cut-in to cut-out with no tap open; null where the pump does not get there.
  const fillTime = (size, pump) => {
    if (size.cut_out <= size.precharge) return null;
    const pressures = [0, 1, 2, 3, 4].map((at) => size.cut_in + (size.cut_out - size.cut_in) * at / 4);
    const flows = pressures.map((pressure) => atWork(pump, size.static_level, pressure).flow);
    if (flows.some((flow) => flow <= 0)) return null;
    const curve = monotone(pressures, flows);
    let time = 0;
    for (let at = 0; at < 4; at += 1) {
      const [from, to] = [stored(size, pressures[at]), stored(size, pressures[at + 1])];
      const half = (to - from) / 2;
      size.nodes.forEach((node, place) => {
        const room = size.tank_volume - (from + half * (node + 1));
        const pressure = (size.precharge + size.atmosphere) * size.tank_volume / room - size.atmosphere;
        const within = Math.min(Math.max(pressure, pressures[at]), pressures[at + 1]);
        time += half * size.weights[place] / onCubics(curve, within);
      });
    }
    return time;
  };

  // The module's diode by De Soto at a sun and warmth, and the array of them.
  const diodeOf = (heater, light, cell) => {
    const [photo, dark, ownSeries, shunt, ideality, slope] = heater.parameters;
    const ratio = (cell - 25) / 298.15 + 1;
    const scale = 8.617333262e-5 * 298.15;
    const gap = 1.121 * (1 - 0.0002677 * 298.15 * (ratio - 1));
    const growth = 3 * Math.log(ratio) + 1.121 / scale - gap / (scale * ratio);
    const strings = heater.parallel;
    const share = heater.series / strings;
    return {
      source: light / 1000 * Math.max(photo + slope * (cell - 25), 0) * strings,
      saturation: dark * Math.exp(growth) * strings,
      leak: light / 1000 / (shunt * share),
      thermal: ideality * ratio * heater.series,
      series: ownSeries * share,
    };
  };

  const leaving = (diode, volts) =>
    diode.source - diode.saturation * Math.expm1(volts / diode.thermal) - volts * diode.leak;

  // Current of an array on a resistance.
  const onOhms = (diode, ohms) => {
    if (diode.source <= 0) return 0;
    const whole = ohms + diode.series;
    const most = Math.min(diode.source * whole, diode.thermal * Math.log1p(diode.source / diode.saturation));
    return crossing((volts) => leaving(diode, volts) - volts / whole, 0, most) / whole;
  };

  // Where an array gives most: power and voltage.
  const atBest = (diode) => {
    if (diode.source <= 0) return [0, 0];
    const rising = (volts) => {
      const current = leaving(diode, volts);
      const fall = -diode.saturation / diode.thermal * Math.exp(volts / diode.thermal) - diode.leak;
      return fall * (volts - current * diode.series) + current * (1 - fall * diode.series);
    };
    const volts = crossing(rising, 0, diode.thermal * Math.log1p(diode.source / diode.saturation));
    const current = leaving(diode, volts);
    return [current * (volts - current * diode.series), volts - current * diode.series];
  };

  // Electronics behind the cable, that track: as `physics/array/connection.py` has them.
  const tracked = (diode, way, ohms, wire) => {
    const there = { ...diode, series: diode.series + wire };
    let [offered, volts] = atBest(there);
    const seen = way.efficiency * ohms;
    if (!(offered * seen > volts ** 2 ? way.raises_voltage : way.lowers_voltage)) {
      offered = onOhms(there, seen) ** 2 * seen;
      volts = Math.sqrt(offered * seen);
    }
    const most = (bound) => (bound === null ? Infinity : bound);
    const runs = offered >= way.minimum_power && volts >= way.least_input &&
      volts <= most(way.greatest_input) && offered * seen >= way.least_voltage ** 2;
    const limit = Math.min(most(way.greatest_power), most(way.greatest_voltage) ** 2 / ohms);
    return {
      power: Math.min(runs ? way.efficiency * offered : 0, limit),
      ohms, wired: volts > 0 ? offered / volts : 0,
    };
  };

  // An array on its element, in one sun: power, resistance in force, current in the cable.
  const coupled = (heater, light, cell, ohms, wire, way = heater.electronics[0]) => {
    const diode = diodeOf(heater, light, cell);
    if (way) return tracked(diode, way, ohms, wire);
    const on = (joined) => {
      const wired = onOhms(diode, joined + wire);
      return { power: wired ** 2 * joined, ohms: joined, wired };
    };
    if (!heater.ratios.length) return on(ohms);
    const { limits } = heater;
    if (limits) return on(ohms * heater.ratios[limits.filter((limit) => light < limit).length]);
    return heater.ratios.map((ratio) => on(ohms * ratio))
      .reduce((best, one) => (one.power > best.power ? one : best));
  };

  const elementOhms = ({ heater, tank }) => heater.voltage ** 2 / heater.power *
    (1 + heater.coefficient * ((tank.cold + tank.thermostat) / 2 - heater.cold));

  // Loop resistance of the cable that is named, or in a year what stands for one that is not.
  const wireOhms = ({ heater, gauges }, unnamed) =>
    (heater.run === null ? unnamed * heater.wiring : 2 * heater.run * gauges[heater.gauge]);

  const atElement = (size) => {
    const { heater } = size;
    const wire = wireOhms(size, 0);
    const cell = heater.air + heater.warming * heater.light;
    const { power, ohms, wired } = coupled(heater, heater.light, cell, elementOhms(size), wire);
    return { current: Math.sqrt(power / ohms), voltage: Math.sqrt(power * ohms), power, wireLoss: wired ** 2 * wire };
  };

  // What a meter at the element shows in a sun, with electronics at one end of what they may do.
  const shownAt = (size, volts, light, air, way) => {
    const { heater } = size;
    const ohms = elementOhms(size);
    const cell = air + heater.warming * light;
    const at = coupled(heater, light, cell, ohms, wireOhms(size, ohms), way);
    return Math.sqrt(volts ? at.power * at.ohms : at.power / at.ohms);
  };

  // ---- The tank through a day: the steps of `physics/tank/kernel.py`, for one tank and element.

  // Conduction in rounds that never overshoot, then the loss; all in place.
  const relax = (nodes, conducted, kept, pull) => {
    const top = nodes.length - 1;
    const rounds = conducted > 0.25 ? Math.ceil(4 * conducted) : 1;
    for (let round = 1; round <= rounds; round += 1) {
      const [scale, offset] = round === rounds ? [kept, pull] : [1, 0];
      const side = conducted / rounds * scale;
      const own = scale - 2 * side;
      let here = nodes[0];
      let lower = here;
      for (let level = 0; level < top; level += 1) {
        const upper = nodes[level + 1];
        nodes[level] = own * here + side * (lower + upper) + offset;
        [lower, here] = [here, upper];
      }
      nodes[top] = own * here + side * (lower + here) + offset;
    }
  };

  // Heat a layer until the heat is in or its thermostat opens, and let it mix with those above.
  const heatUp = (nodes, node, stop, rise) => {
    let room = 0;
    for (let level = node; level < nodes.length && room < rise && nodes[level] < stop; level += 1)
      room += stop - nodes[level];
    const taken = Math.min(rise, room);
    let total = nodes[node] + taken;
    let end = node + 1;
    while (end < nodes.length && nodes[end] * (end - node) < total) {
      total += nodes[end];
      end += 1;
    }
    nodes.fill(total / (end - node), node, end);
    return taken;
  };

  const hotShare = (tap, cold, hot) => {
    if (tap <= cold) return 0;
    return hot <= tap ? 1 : (tap - cold) / (hot - cold);
  };

  // How long an open thermostat rests in a step, by its layer in the step's middle.
  const rest = (warmth, closes, room, loss, step) => {
    if (closes <= room || loss <= 0) return warmth <= closes ? 0 : step;
    if (warmth <= room) return 0;
    return Math.min(step, Math.max(0, step / 2 + Math.log((warmth - room) / (closes - room)) / loss));
  };

  // A day from layers, changed in place: the step at which its thermostat first opened, and means.
  const runDay = (tank, nodes, powers, draws, largest) => {
    const { cold, room, tap, thermostat, element_node: element, step } = tank;
    const count = nodes.length;
    const nodeVolume = tank.volume / count;
    const capacity = nodeVolume * tank.heat_capacity;
    const loss = tank.loss / (tank.volume * tank.heat_capacity);
    const closes = thermostat - tank.differential;
    let content = nodes.reduce((sum, each) => sum + each, 0);
    let [half, pull, on] = [1, 0, nodes[element] < thermostat];
    const day = { reached: null, means: [] };
    powers.forEach((power, index) => {
      let [left, volume, parts, accepted] = [step, draws[index], 2, 0];
      while (parts > 1) {
        parts = 1;
        if (volume > 0) {
          const hot = hotShare(tap, cold, nodes[count - 1] * half + pull) * volume;
          parts = Math.max(1, Math.ceil(hot / (nodeVolume * largest) - 1e-9));
        }
        const length = left / parts;
        const keeps = Math.exp(-0.5 * loss * length);
        const gone = (content - count * room) * (1 - keeps);
        relax(nodes, tank.conduction * length, half * keeps, pull * keeps + room * (1 - keeps));
        [half, pull] = [keeps, room * (1 - keeps)];
        let gain = 0;
        if (power > 0) {
          const time = on ? length : length - rest(nodes[element], closes, room, loss, length);
          if (time > 0) {
            const asked = power / capacity * time;
            gain = heatUp(nodes, element, thermostat, asked);
            on = gain >= asked;
          }
          accepted += gain * capacity;
        } else if (nodes[element] <= closes) on = true;
        if (volume > 0) {
          const mixed = volume / parts;
          const hottest = nodes[count - 1];
          const shift = hotShare(tap, cold, hottest) * mixed / nodeVolume;
          gain -= shift * (hottest - cold);
          let below = cold;
          nodes.forEach((here, level) => {
            nodes[level] = here + shift * (below - here);
            below = here;
          });
          if (nodes[0] > nodes[1]) heatUp(nodes, 0, Infinity, 0);
          volume -= mixed;
        }
        content += gain - gone;
        content -= (content - count * room) * (1 - half);
        left -= length;
      }
      if (day.reached === null && power > 0 && accepted / step < power * (1 - 1e-9))
        day.reached = (index + 1) * step;
      day.means.push(content / count);
    });
    relax(nodes, 0, half, pull);
    return day;
  };

  // A row of such days from a cold tank, until its thermostat opens or it gets no warmer.
  const fromCold = (tank, powers, draws, largest) => {
    const nodes = Array(tank.nodes).fill(tank.cold);
    let before = -Infinity;
    for (let number = 1; number <= tank.longest; number += 1) {
      const { reached, means } = runDay(tank, nodes, powers, draws, largest);
      const mean = means[means.length - 1];
      const told = { day: number, time: reached, mean, warmest: Math.max(...means), nodes };
      if (reached !== null) return told;
      if (mean - before < tank.least || number === tank.longest) return { ...told, day: null };
      before = mean;
    }
    return null;
  };

  // Hot water of so many people by the solar trade's rule, against that of one more or less.
  const rule = (people) => 20 * Math.min(people, 2) + 15 * Math.max(people - 2, 0);
  const MOST_TANKS = 20;

  const tankDays = (size, days) => {
    const { tank, heater } = size;
    const ohms = elementOhms(size);
    const wire = wireOhms(size, ohms);
    const { lights, cells, beside } = days[size.kind];
    const steps = Math.round(86400 / tank.step);
    const powers = Array.from({ length: steps }, (_, step) => {
      const at = Math.floor((Number(size.month) + step / steps) * lights.length / 12 + 1e-9);
      return (lights[at] > 0 ? coupled(heater, lights[at], cells[at], ohms, wire).power : 0) + beside[at];
    });
    const idle = fromCold(tank, powers, powers.map(() => 0), 0.1);
    const draw = tank.draw === null ? null : tank.draw * rule(size.people) / rule(tank.people);
    const told = { energy: powers.reduce((sum, each) => sum + each, 0) * tank.step, idle, draw, drawn: null };
    if (draw !== null && draw <= MOST_TANKS * tank.volume) {
      const largest = Math.min(1, 0.1 * Math.max(1, draw / tank.volume / 2));
      told.drawn = fromCold(tank, powers, powers.map((_, step) => draw * (tank.shares[step] || 0)), largest);
    }
    return told;
  };

  // Seconds until water of a temperature burns an adult: the shortest of the tables, and whether it
  // is shorter still; null where it burns nobody.
  const burnTime = (tank, warmth) => {
    if (warmth < tank.burns_from) return null;
    const CLOSE = 1e-9;
    const times = tank.burns.filter((rows) => warmth >= rows[0][0] - CLOSE).map((rows) => {
      const [hottest, shortest] = rows[rows.length - 1];
      if (warmth > hottest + CLOSE) return [shortest, true];
      const [place, along] = between(rows.map(([at]) => at), warmth);
      const [first, second] = [rows[place][1], rows[place + 1][1]].map(Math.log);
      return [Math.exp(first * (1 - along) + second * along), false];
    });
    return times.reduce((best, one) => (one[0] < best[0] || (one[0] === best[0] && best[1]) ? one : best));
  };

  // What a setting of the tank's thermostat means, and the days until it is reached.
  const heatedTank = (size, days) => {
    const { tank } = size;
    const { cold, tap, thermostat } = tank;
    return {
      ...(days[size.kind] ? tankDays(size, days) : null),
      lost: tank.loss * (thermostat - tank.room),
      share: hotShare(tap, cold, thermostat),
      full: thermostat < tap || tap <= cold ? null : tank.volume * (thermostat - cold) / (tap - cold),
      burn: burnTime(tank, thermostat),
    };
  };

  // Time at the handle: Krendel's rule, the power that lasts just as long as it takes.
  const SHORTEST = 240;
  const LONGEST = 28800;
  const handTime = (hand, volume, pumpers) => {
    const power = (time) => {
      if (hand.own_power !== null) return pumpers * hand.own_power;
      const within = Math.min(Math.max(time, SHORTEST), LONGEST);
      return pumpers * (0.35 - 0.092 * Math.log10(within / 60)) * 745.6998715822702 * hand.age_factor * hand.arm_factor;
    };
    const flowAt = (watts) => {
      const { powers, flows } = hand;
      if (watts <= powers[0]) return flows[0];
      if (watts >= powers[powers.length - 1]) return flows[flows.length - 1];
      const [place, along] = between(powers, watts);
      return flows[place] * (1 - along) + flows[place + 1] * along;
    };
    const takes = (time) => volume / flowAt(power(time));
    if (takes(SHORTEST) <= SHORTEST) return takes(SHORTEST);
    if (takes(LONGEST) >= LONGEST) return takes(LONGEST);
    return takes(crossing((time) => takes(time) - time, SHORTEST, LONGEST));
  };

  // All answers of changed sizes, in SI.
  const reckoned = (size, days) => ({
    pumps: size.cut_in === null ? [] : size.pumps.map((pump) => {
      const [atIn, atOut] = [size.cut_in, size.cut_out].map((each) => atWork(pump, size.static_level, each));
      const wires = pump.phases === 3 ? Math.sqrt(3) : 2;
      const lost = pump.run === null ? null
        : wires * pump.run * size.gauges[pump.gauge] * Math.max(atIn.current, atOut.current) / pump.voltage;
      return { atIn, atOut, lost, fill: size.tank_volume === null ? null : fillTime(size, pump) };
    }),
    drawdown: size.tank_volume === null || size.cut_in === null ? null : drawdown(size),
    heater: size.heater ? atElement(size) : null,
    tank: size.tank ? heatedTank(size, days) : null,
    hands: size.hands.map((hand) => handTime(hand, size.people * size.each, size.pumpers)),
  });

  return Object.freeze({ between, monotone, reckoned, shownAt });
})();
