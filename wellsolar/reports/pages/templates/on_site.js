(() => {
  "use strict";

  const { between } = core;
  const data = JSON.parse(document.getElementById("data").textContent);
  const NOTHING = { madeOf: "value", number: 0, pump: "", state: "", boxes: [], bands: [], byTime: "", inSun: false, restsOn: "", why: "", warns: [], made: "", clears: [] };
  for (const [key, field] of Object.entries(data.fields)) {
    data.fields[key] = { ...NOTHING, ...field };
    for (const place of ["below", "inside", "above"])
      data.fields[key][place] = { told: [], ways: [], fixed: {}, ...(field[place] === "below" ? field.below : field[place]) };
    data.fields[key].boxes = data.fields[key].boxes.map((box) => ({
      key: "", smallest: data.smallest[box.kind], above: null, least: null, most: null, ...box, units: data.units[box.kind],
    }));
  }

  // Tables are packed: the least number, a step, the steps in so many bytes each, little end first,
  // in base 64, and whether they are logarithms; then by turns how many are 0 and how many not.
  const unpacked = ([least, step, text, size, logarithms, ...runs]) => {
    const bytes = Uint8Array.from(atob(text), (sign) => sign.charCodeAt(0));
    let at = 0;
    const next = () => {
      let whole = 0;
      for (let place = size - 1; place >= 0; place -= 1) whole = whole * 256 + bytes[at + place];
      at += size;
      return logarithms ? Math.exp(least + step * whole) : least + step * whole;
    };
    return runs.flatMap((count, place) => Array.from({ length: count }, place % 2 ? next : () => 0));
  };
  const unpack = (table) => {
    for (const key of Object.keys(table)) table[key] = unpacked(table[key]);
  };
  const openWhatIf = ({ sizes, days }) => {
    for (const pump of sizes.pumps)
      for (const curve of [pump.head, pump.power])
        if (curve) Object.assign(curve, core.monotone(curve.flows, curve.values));
    for (const hand of sizes.hands) [hand.powers, hand.flows] = [hand.powers, hand.flows].map(unpacked);
    Object.values(days).forEach(unpack);
    return { sizes, days };
  };
  const { sizes, days } = openWhatIf(data.whatIf);
  for (const table of [...Object.values(data.timed), data.metered]) {
    if (!table) continue;
    // The hours near each minute of a day, and which of them are the same.
    const classes = new Map();
    table.near = Array.from({ length: 1440 }, (_, minute) => table.hours.flatMap((hour, place) => {
      const apart = Math.abs(hour - minute / 60);
      return Math.min(apart, 24 - apart) < data.near ? [place] : [];
    }));
    table.classes = table.near.map((hours) => {
      const name = hours.join();
      if (!classes.has(name)) classes.set(name, classes.size);
      return classes.get(name);
    });
    table.count = table.byHour ? table.hours.length : classes.size;
  }
  for (const table of Object.values(data.timed)) [table.bands, table.lights].forEach(unpack);
  for (const table of Object.values(data.timed)) {
    if (!table.like) continue;
    const other = data.timed[table.like];
    table.lights = other.lights;
    for (const [sky, numbers] of Object.entries(other.bands))
      table.bands[sky] = numbers.map((number) => number * table.times);
  }
  if (data.metered) data.metered.airs = unpacked(data.metered.airs);
  for (const causes of Object.values(data.sunCauses))
    for (const side of ["below", "above"])
      causes[side].forEach((way, place) => {
        way[1] = typeof way[1] === "number"
          ? data.sunCauses.element_amps[side][place][1].map((amperes) => amperes * way[1])
          : unpacked(way[1]);
      });
  // Volts and amperes read together tell the element's resistance, and the current for its sun.
  const current = Object.values(data.fields).find(({ boxes }) => boxes.length === 1 && boxes[0].key === "element_amps");
  for (const field of Object.values(data.fields)) {
    field.also = field.madeOf === "ohms" && current;
    field.asksSun = field.inSun || Boolean(field.also && current.inSun);
  }
  const textOf = (place) => data.texts[place];
  const byId = (id) => document.getElementById(id);

  // ---- A reading and its band: the same sums as `readings` makes of it.

  const NUMBER = /^[+-]?(?:\d+(?:\.\d*)?|\.\d+)$/;

  class Mistake extends Error {}

  // A telephone's keys may write a comma for the point.
  const number = (text, what) => {
    const plain = text.trim().replace(/^([+-]?\d*),(\d+)$/, "$1.$2");
    if (!NUMBER.test(plain)) throw new Mistake(`${what}: write a number, such as 8.4`);
    return plain;
  };

  const unitOf = (box, name) => box.units.find((each) => each[0] === name) || box.units[0];

  // One box: its value with its ends in SI, and its text as a file of readings has it.
  const readBox = (box, typed) => {
    const [unit, factor, offset] = unitOf(box, typed.unit);
    const text = number(typed.value, box.label);
    const value = parseFloat(text) * factor + offset;
    let [low, high, off] = [value, value, ""];
    if (typed.off && typed.off.trim()) {
      const share = typed.off.trim().endsWith("%");
      off = number(typed.off.trim().replace(/\s*%$/, ""), "how far it may be off");
      const size = parseFloat(off);
      if (size < 0) throw new Mistake("how far it may be off is no less than 0");
      const wide = share ? Math.abs(value) * size / 100 : size * factor;
      [low, high] = [value - wide, value + wide];
      off = share ? ` +- ${off} %` : ` +- ${off}`;
      if (box.above !== null && low <= box.above)
        throw new Mistake("it may be off by less than the value itself");
    }
    const shown = (bound) => `${digits((bound - offset) / factor)} ${unit}`;
    if (Math.abs(value) > 0 && Math.abs(value) < box.smallest)
      throw new Mistake(`${box.label}: at least ${shown(box.smallest)}, or nothing`);
    if (box.above !== null && value <= box.above)
      throw new Mistake(`${box.label}: more than ${shown(box.above)}`);
    if (box.least !== null && value < box.least)
      throw new Mistake(`${box.label}: at least ${shown(box.least)}`);
    if (box.most !== null && value > box.most)
      throw new Mistake(`${box.label}: at most ${shown(box.most)}`);
    if (box.least !== null) low = Math.max(low, box.least);
    return { value, low, high, text: `${text} ${unit}${off}`.trim() };
  };

  const made = {
    value: ([one]) => one,
    flow: ([volume, time]) => ({
      value: volume.value / time.value,
      low: volume.low / time.high,
      high: volume.high / Math.max(time.low, 1e-3 * time.value),
    }),
    fall: ([first, last]) => ({
      value: first.value - last.value,
      low: first.low - last.high,
      high: first.high - last.low,
    }),
    ohms: ([volts, amps]) => ({
      value: volts.value / amps.value,
      low: amps.high > 0 ? volts.low / amps.high : 0,
      high: amps.low > 0 ? volts.high / amps.low : Infinity,
    }),
  };

  const monthOf = (taken) => parseInt((taken.date || "").slice(5, 7), 10);
  const minuteOf = (taken) => {
    const [hours, minutes] = (taken.time || "").split(":").map((each) => parseInt(each, 10));
    return hours * 60 + minutes;
  };

  // What stands in a table by month and time of day, so many numbers each, of every place that
  // belongs to the time; undefined where they are not told.
  const atTime = (numbers, table, taken, many) => {
    const [month, minute] = [monthOf(taken), minuteOf(taken)];
    const [dated, timed] = [month >= 1 && month <= 12, minute >= 0 && minute < 1440];
    const inMonth = (each, place) => {
      const begin = ((each - 1) * table.count + place) * many;
      return numbers.slice(begin, begin + many);
    };
    if (!table.byHour) return dated && timed ? inMonth(month, table.classes[minute]) : undefined;
    const months = dated ? [month] : [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12];
    const places = timed ? table.near[minute] : table.hours.map((_, place) => place);
    const all = months.flatMap((each) => places.map((place) => inMonth(each, place)));
    return [Math.min(...all.map(([low]) => low)), Math.max(...all.map(([, high]) => high))];
  };

  const ends = ([low, high]) => [low, (low + high) / 2, high];

  // The band of a reading in the sun, with the ends of its light.
  const inSun = (field, taken) => {
    const key = field.byTime;
    if (taken.light) {
      const sun = data.metered;
      const light = parseFloat(number(taken.light, "the sun, W/m2"));
      if (!(light > 0 && light <= 1400)) throw new Mistake("the sun, W/m2: more than 0, at most 1400");
      if (light <= sun.dark) return { band: [0, 0, sun.inTheDark[key]], dark: true };
      const airs = atTime(sun.airs, sun, taken, sun.airs.length / 12 / sun.count);
      if (!airs) return { ask: "give date and time" };
      const ways = sizes.heater.electronics.length ? sizes.heater.electronics : [undefined];
      const all = ways.flatMap((way) =>
        airs.map((air) => core.shownAt(sizes, key === "element_volts", light, air, way)));
      const band = ends([Math.min(...all) * (1 - sun.off), Math.max(...all) * (1 + sun.off)]);
      return { band, lights: [light, light], metered: true };
    }
    const table = data.timed[key];
    if (!table) return { ask: "its sun is not known: measure it by a meter, W/m2" };
    if (!taken.sky) return { ask: "choose the sky above, or measure the sun" };
    const found = atTime(table.bands[taken.sky], table, taken, 2);
    if (!found) return { ask: "give date and time" };
    if (!found[1]) return { band: [0, 0, data.metered.inTheDark[key]], dark: true };
    return { band: ends(found), lights: atTime(table.lights[taken.sky], table, taken, 2) };
  };

  // What is expected of a reading: a band, or what is asked for first.
  const expected = (field, taken, read) => {
    if (field.why) return { ask: field.why };
    if (field.inSun) return inSun(field, taken);
    if (field.byTime) {
      const table = data.timed[field.byTime];
      return { band: ends(atTime(table.bands[""], table, taken, 2)) };
    }
    if (!field.bands.length) return { ask: "nothing is expected of it" };
    if (!read) return { band: field.bands[0] };
    const away = (band) => Math.abs(band[1] - read.value);
    return { band: field.bands.reduce((best, each) => (away(each) < away(best) ? each : best)) };
  };

  // ---- Why a reading may be off: the weighing of `studies/reading/causes.py`.

  const atLight = (lights, ends, light, which) => {
    const inside = Math.min(Math.max(light, lights[0]), lights[lights.length - 1]);
    const [place, along] = between(lights, inside);
    const at = 3 * place + which;
    return ends[at] * (1 - along) + ends[at + 3] * along;
  };

  const endsOf = (way, sun) => {
    if (!sun) return way[1];
    const { lights } = data.sunCauses[sun.key];
    const corners = sun.lights.flatMap((light) =>
      [0, 2].map((which) => atLight(lights, way[1], light, which)));
    const middle = atLight(lights, way[1], (sun.lights[0] + sun.lights[1]) / 2, 1);
    return [Math.min(...corners), middle, Math.max(...corners)];
  };

  const scored = (read, ways, sun) =>
    ways.map((way) => {
      const [least, middle, most] = endsOf(way, sun);
      const apart = Math.max(0, least - read.high, read.low - most);
      const wide = Math.max(
        data.slack * Math.max(Math.abs(read.value), Math.abs(most)),
        (read.high - read.low) / 2, 1e-12);
      const bell = Math.sqrt(2 * Math.PI) * wide;
      const prior = way[2] * bell / (most - least + bell);
      const fit = Math.exp(-0.5 * Math.min(40, apart / wide) ** 2);
      const text = textOf(way[0]);
      return { text, group: way[3], of: way[5], prior, fit, likely: prior * fit, off: Math.abs(middle - read.value) };
    });

  const ranked = (ways) => {
    const scores = [...ways];
    scores.sort((a, b) => b.likely - a.likely || a.off - b.off);
    const groups = scores.map((each) => each.group);
    const causes = scores.filter((each, place) =>
      !each.group || groups.indexOf(each.group) === place);
    causes.push({ text: data.again[0], likely: data.again[1] });
    causes.sort((a, b) => b.likely - a.likely);
    const total = causes.reduce((sum, each) => sum + each.likely, 0);
    return causes.slice(0, 2).filter((each) => each.likely > 0.001 * total)
      .map((each) => each.text);
  };

  // The texts of the last bound that the reading is beyond.
  const along = (told, read) => {
    let texts = [];
    for (const [beyond, end, found] of told) if (read[end] > beyond) texts = found;
    return texts;
  };

  // All that may be wrong, as it was weighed; or causes that need no weighing.
  const waysOf = (field, read, found, place) => {
    const told = (texts, fixed) => ({
      told: true,
      ways: texts.map((text) => ({ text: textOf(text), prior: fixed[text][0], fit: 1, likely: fixed[text][0], of: fixed[text][1] })),
    });
    if (field.inSun) {
      const sun = data.sunCauses[field.byTime];
      if (place === "inside") return told([], {});
      if (found.dark) return told(sun.dark, sun.fixed);
      if (place === "below" && read.high < sun.share * found.band[1]) return told(sun.open, sun.fixed);
      const known = found.metered ? "metered" : "sky";
      const ways = sun[place].filter((way) => !way[4] || way[4] === known);
      return { ways: scored(read, ways, { key: field.byTime, lights: found.lights }) };
    }
    const texts = along(field[place].told, read);
    if (texts.length || !field[place].ways.length) return told(texts, field[place].fixed);
    return { ways: scored(read, field[place].ways, null) };
  };

  // What explains together all that is off: as `studies/reading/together.py` has it.
  const suspects = (all) => {
    const judged = all.filter(({ found }) => found && found.band);
    const off = judged.filter(({ found }) => found.place !== "inside" || found.ways.length);
    const cleared = new Set(judged.filter((each) => !off.includes(each)).flatMap(({ field }) => field.clears));
    const of = (way) => (way.of.length ? way.of : [way.text]);
    const best = off.map(({ found }) => {
      const faults = new Map();
      for (const way of [...found.ways].sort((a, b) => a.likely - b.likely))
        for (const fault of of(way)) faults.set(fault, way);
      return faults;
    });
    const found = [...new Set(best.flatMap((faults) => [...faults.keys()]))].map((fault) => {
      const known = best.filter((faults) => faults.has(fault)).map((faults) => faults.get(fault));
      let likely = Math.max(...known.map((way) => way.prior)) * data.again[1] ** (off.length - known.length);
      for (const way of known) likely *= way.fit;
      if (cleared.has(fault)) likely *= data.cleared;
      const better = (a, b) => (of(a).length < 2) - (of(b).length < 2) || a.likely - b.likely;
      const { text } = known.reduce((one, way) => (better(way, one) > 0 ? way : one));
      return { text, likely, explains: known.filter((way) => way.likely > data.again[1]).length };
    });
    found.sort((a, b) => b.likely - a.likely);
    if (!found.length || found[0].explains < 2) return { off: off.length, told: [] };
    return { off: off.length, told: found.slice(0, 2).filter((each) => each.explains) };
  };

  const RANKS = ["unknown", "pass", "caution", "fail"];

  // All that is said of a reading: pass, caution, fail, unknown, or a mistake in what was typed.
  const judge = (field, taken) => {
    const typed = field.boxes.map((_, place) => (taken.boxes || [])[place] || {});
    if (field.madeOf === "words") {
      if (!taken.mark) return null;
      return { verdict: taken.mark === "ok" ? "pass" : "caution", causes: [], warning: "" };
    }
    if (typed.every((each) => !(each.value || "").trim())) return null;
    try {
      if (typed.some((each) => !(each.value || "").trim())) throw new Mistake("fill in every box");
      const boxes = field.boxes.map((box, place) => readBox(box, typed[place]));
      const read = made[field.madeOf](boxes);
      const texts = boxes.map((each) => each.text);
      const found = expected(field, taken, read);
      if (!found.band) return { verdict: "unknown", why: found.ask, read, texts, causes: [], warning: "" };
      const [low, , high] = found.band;
      const place = read.high < low ? "below" : read.low > high ? "above" : "inside";
      const [warning = ""] = along(field.warns, read).map(textOf);
      const { told, ways } = waysOf(field, read, found, place);
      const causes = told ? ways.map((way) => way.text) : ranked(ways);
      const own = warning ? "fail" : place === "inside" ? "pass" : "caution";
      const also = field.also ? judge(field.also, { ...taken, boxes: [taken.boxes[1]] }) : null;
      const verdict = also && RANKS.indexOf(also.verdict) > RANKS.indexOf(own) ? also.verdict : own;
      return { verdict, read, texts, band: found.band, causes, ways, warning, place, also };
    } catch (error) {
      if (!(error instanceof Mistake)) throw error;
      return { verdict: "mistake", why: error.message, causes: [], warning: "" };
    }
  };

  // ---- Numbers as they are printed.

  const digits = (value) => {
    if (!Number.isFinite(value)) return "none";
    if (value === 0) return "0";
    const places = Math.max(0, Math.min(4, 2 - Math.floor(Math.log10(Math.abs(value)))));
    return String(parseFloat(value.toFixed(places)));
  };

  const inUnit = (field, taken, value) => {
    const typed = ((taken.boxes || [])[0] || {}).unit;
    const [unit, factor, offset] = field.made ? data.units[field.made][0] : unitOf(field.boxes[0], typed);
    return [digits((value - offset) / factor), unit];
  };

  const bandText = (field, taken, band) => {
    const [low] = inUnit(field, taken, band[0]);
    const [high, unit] = inUnit(field, taken, band[2]);
    return low === high ? `${low} ${unit}`.trim() : `${low} to ${high} ${unit}`.trim();
  };

  // ---- What is kept on the telephone: only what this page wrote, and no more than it can hold.

  const PLACE = `wellsolar on site ${data.id}`;
  const MOST_PHOTOS = 16;
  const LONGEST_PHOTO = 150000;
  const PHOTO = /^data:image\/jpeg;base64,[A-Za-z0-9+/]+=*$/;
  // No half of a character either, which can't stand in a file.
  const whole = (sign) => (/^[\ud800-\udfff]$/.test(sign) ? "?" : sign);
  const cut = (text, most) =>
    (typeof text === "string" ? Array.from(text.slice(0, most), whole).join("") : "");

  const cleanTaken = (raw) => {
    const taken = {
      date: /^\d{4}-\d\d-\d\d$/.test(raw.date) ? raw.date : "",
      time: /^\d\d:\d\d$/.test(raw.time) ? raw.time : "",
      by: cut(raw.by, 12),
      note: cut(raw.note, 500),
      mark: raw.mark === "ok" || raw.mark === "not" ? raw.mark : "",
      sky: raw.sky in skies ? raw.sky : "",
      light: cut(raw.light, 8),
      photo: "",
      boxes: [],
    };
    if (Array.isArray(raw.boxes))
      taken.boxes = raw.boxes.slice(0, 4).map((each) => {
        const box = each && typeof each === "object" ? each : {};
        return { value: cut(box.value, 20), unit: cut(box.unit, 12), off: cut(box.off, 12) };
      });
    if (typeof raw.photo === "string" && raw.photo.length <= LONGEST_PHOTO && PHOTO.test(raw.photo))
      taken.photo = raw.photo;
    return taken;
  };

  const skies = Object.assign(Object.create(null), { clear: 1, "thin cloud": 1, overcast: 1 });
  const state = { by: "", sky: "", light: "", taken: Object.create(null) };

  const load = () => {
    let raw = null;
    try {
      raw = JSON.parse(localStorage.getItem(PLACE) || "null");
    } catch { /* Nothing that can be read: begin anew. */ }
    if (!raw || typeof raw !== "object") return;
    state.by = cut(raw.by, 12);
    state.sky = raw.sky in skies ? raw.sky : "";
    state.light = cut(raw.light, 8);
    for (const key of Object.keys(data.fields))
      if (raw.taken && typeof raw.taken === "object" && raw.taken[key])
        state.taken[key] = cleanTaken(raw.taken[key]);
  };

  const tellKeeping = (text, quiet) => {
    byId("keeps").textContent = text;
    byId("keeps").classList.toggle("quiet", quiet);
  };

  const keep = () => {
    try {
      localStorage.setItem(PLACE, JSON.stringify(state));
      if (localStorage.getItem(PLACE) === null) throw new Error("not kept");
      tellKeeping("What you type is kept on this telephone.", true);
    } catch {
      tellKeeping("This viewer keeps nothing, or has no more room: save or copy the readings below before you close the page.", false);
    }
  };

  // ---- Time of a reading as a file of readings wants it: without summer time.

  const standardNow = () => {
    const now = new Date();
    const offsets = [0, 6].map((month) => new Date(now.getFullYear(), month, 1).getTimezoneOffset());
    const summer = Math.max(...offsets) - now.getTimezoneOffset();
    const then = new Date(now.getTime() - (now.getTimezoneOffset() + summer) * 60000);
    const text = then.toISOString();
    return { date: text.slice(0, 10), time: text.slice(11, 16) };
  };

  // ---- The page.

  const element = (name, text, attributes = {}) => {
    const made = document.createElement(name);
    if (text) made.textContent = text;
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    return made;
  };

  // The boxes of a field: to mark, or to type a number with its unit and its meter.
  const build = (place, field) => {
    const copy = (name) => byId(name).content.cloneNode(true);
    if (field.madeOf === "words") {
      const marks = copy("marks");
      place.querySelector("h4").id = `${place.dataset.field}-name`;
      marks.firstElementChild.setAttribute("aria-labelledby", `${place.dataset.field}-name`);
      place.append(marks);
    }
    for (const box of field.boxes) {
      const typed = copy("typed");
      const name = [field.label, box.label].filter(Boolean).join(": ");
      const [what, select] = [typed.querySelector(".what"), typed.querySelector("select")];
      typed.querySelector("[data-value]").setAttribute("aria-label", name);
      typed.querySelector("[data-off]").setAttribute("aria-label", `${name}: how far the meter may be off, or %`);
      if (field.boxes.length > 1) what.textContent = box.label;
      else what.remove();
      select.setAttribute("aria-label", `${name}: unit`);
      for (const [unit] of box.units) select.append(element("option", unit || "times", { value: unit }));
      if (box.units.length === 1)
        select.replaceWith(element("span", box.units[0][0], { class: "one", "data-unit": "" }));
      place.append(typed);
    }
    place.append(copy("more"));
  };

  const places = new Map();
  for (const place of document.querySelectorAll("[data-field]")) {
    const field = data.fields[place.dataset.field];
    field.label = place.querySelector("h4").textContent.replace(/^\d+\. /, "");
    build(place, field);
    places.set(place.dataset.field, place);
  }

  const WORDS = {
    pass: "✓ In order", caution: "! Off", fail: "✕ Danger", unknown: "? Not judged",
    mistake: "Not read yet",
  };

  const takenOf = (key) => {
    if (!state.taken[key]) {
      const now = standardNow();
      state.taken[key] = cleanTaken({ ...now, by: state.by, sky: state.sky, light: state.light });
    }
    return state.taken[key];
  };

  const show = (key) => {
    const [field, place] = [data.fields[key], places.get(key)];
    const taken = state.taken[key] || { ...standardNow(), sky: state.sky, light: state.light, boxes: unitsOf(place) };
    const found = judge(field, taken);
    const [band, said] = [place.querySelector(".band"), place.querySelector(".said")];
    if (field.madeOf !== "words") {
      let told = null;
      try {
        told = expected(field, taken, found && found.read);
      } catch (error) {
        if (!(error instanceof Mistake)) throw error;
        told = { ask: error.message };
      }
      const rests = field.restsOn && ` (${field.restsOn})`;
      band.textContent = told.band
        ? `Expected: ${bandText(field, taken, told.band)}${rests}`
        : `No band yet: ${told.ask}`;
    }
    said.replaceChildren();
    delete said.dataset.verdict;
    if (!found) return;
    said.dataset.verdict = found.verdict;
    let line = WORDS[found.verdict];
    if (field.madeOf === "words") line = found.verdict === "pass" ? "✓ In order" : "! Not in order";
    else if (found.read) line += `: ${inUnit(field, taken, found.read.value).join(" ")}`;
    if (found.why) line += `. ${found.why}.`;
    said.append(element("strong", line));
    if (found.warning) said.append(element("p", found.warning));
    const lookFor = (causes) => {
      if (!causes.length) return;
      said.append(element("p", "Look first for:"));
      const list = element("ol");
      for (const cause of causes) list.append(element("li", cause));
      said.append(list);
    };
    lookFor(found.causes);
    if (!found.also) return;
    const { also } = found;
    const rest = also.band
      ? `Expected: ${bandText(field.also, { boxes: [taken.boxes[1]] }, also.band)}`
      : also.why;
    said.append(element("p", `${field.also.label}: ${WORDS[also.verdict]}. ${rest}.`));
    lookFor(also.causes);
  };

  const unitsOf = (place) =>
    [...place.querySelectorAll("[data-unit]")].map((each) => ({ unit: each.value || each.textContent }));

  const fill = (key) => {
    const [place, taken] = [places.get(key), state.taken[key]];
    const values = place.querySelectorAll("[data-value]");
    const units = place.querySelectorAll("[data-unit]");
    const offs = place.querySelectorAll("[data-off]");
    values.forEach((input, at) => {
      const box = (taken && taken.boxes[at]) || {};
      input.value = box.value || "";
      offs[at].value = box.off || "";
      if (box.unit && units[at].tagName === "SELECT") units[at].value = box.unit;
      if (units[at].tagName === "SELECT" && units[at].selectedIndex < 0) units[at].selectedIndex = 0;
    });
    for (const name of ["date", "time", "by", "note"])
      place.querySelector(`[data-${name}]`).value = taken ? taken[name] : "";
    for (const button of place.querySelectorAll("[data-mark]"))
      button.setAttribute("aria-pressed", String(Boolean(taken) && taken.mark === button.dataset.mark));
    const photo = place.querySelector(".photo");
    photo.replaceChildren();
    if (taken && taken.photo) {
      photo.append(element("img", "", { src: taken.photo, alt: `Photograph: ${data.fields[key].label}` }));
      const remove = element("button", "Remove the photograph", { type: "button" });
      remove.addEventListener("click", () => { taken.photo = ""; fill(key); changed(key); });
      photo.append(remove);
    }
    show(key);
  };

  const tally = () => {
    let [read, off, danger] = [0, 0, 0];
    for (const step of document.querySelectorAll("[data-step]")) {
      const keys = [...step.querySelectorAll("[data-field]")].map((each) => each.dataset.field);
      const found = keys.map((key) => places.get(key).querySelector(".said").dataset.verdict);
      const told = found.filter((each) => each && each !== "mistake").length;
      const wrong = found.filter((each) => each === "caution" || each === "fail").length;
      step.querySelector(".count").textContent = wrong ? `! ${wrong} off` : `${told} of ${keys.length}`;
      read += told;
      off += wrong;
      danger += found.filter((each) => each === "fail").length;
    }
    const count = Object.keys(data.fields).length;
    const first = danger ? `, ${danger} of them a danger: see to it first` : "";
    byId("summary").textContent = `${read} of ${count} read, ${off} off${first}.`;
    const all = Object.entries(state.taken).flatMap(([key, taken]) => {
      const [field, found] = [data.fields[key], judge(data.fields[key], taken)];
      return [{ field, found }, ...(found && found.also ? [{ field: field.also, found: found.also }] : [])];
    });
    const together = suspects(all);
    const place = byId("together");
    place.hidden = !together.told.length;
    const list = place.querySelector("ol");
    list.replaceChildren(...together.told.map(({ text, explains }) => element("li", `${text} (${explains} of ${together.off} that are off)`)));
  };

  const changed = (key) => {
    show(key);
    tally();
    write();
    keep();
  };

  const typedIn = (key) => {
    const [place, taken] = [places.get(key), takenOf(key)];
    const read = (name) => [...place.querySelectorAll(`[data-${name}]`)];
    const [values, units, offs] = ["value", "unit", "off"].map(read);
    const box = (at) => ({
      value: values[at].value, unit: units[at].value || units[at].textContent, off: offs[at].value,
    });
    taken.boxes = values.map((_, at) => box(at));
    for (const name of ["date", "time", "by", "note"]) {
      const input = place.querySelector(`[data-${name}]`);
      if (input.dataset.touched) taken[name] = input.value;
      else input.value = taken[name];
    }
    state.taken[key] = { ...cleanTaken(taken), photo: taken.photo };
    changed(key);
  };

  // A photograph is made small enough to be kept, or refused.
  const SMALLER = [[1000, 0.7], [800, 0.6], [640, 0.5], [400, 0.5]];
  const shrunk = async (file) => {
    if (!/^image\//.test(file.type) || file.size > 40e6) return "";
    const picture = await createImageBitmap(file);
    for (const [side, quality] of SMALLER) {
      const share = Math.min(1, side / Math.max(picture.width, picture.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.max(1, Math.round(picture.width * share));
      canvas.height = Math.max(1, Math.round(picture.height * share));
      canvas.getContext("2d").drawImage(picture, 0, 0, canvas.width, canvas.height);
      const text = canvas.toDataURL("image/jpeg", quality);
      if (text.length <= LONGEST_PHOTO && PHOTO.test(text)) return text;
    }
    return "";
  };

  const photographed = async (key, input) => {
    const [file] = input.files;
    if (!file) return;
    const said = places.get(key).querySelector(".photo");
    const many = Object.values(state.taken).filter((each) => each.photo).length;
    const taken = takenOf(key);
    let text = "";
    if (many >= MOST_PHOTOS && !taken.photo) {
      said.textContent = `This page keeps no more than ${MOST_PHOTOS} photographs: write its name in the note.`;
      return;
    }
    try {
      text = await shrunk(file);
    } catch { /* No picture that this viewer can show. */ }
    input.value = "";
    if (!text) {
      said.textContent = "This is no picture that can be kept here: write its name in the note.";
      return;
    }
    taken.photo = text;
    fill(key);
    changed(key);
  };

  // ---- Out of the telephone: a file that `readings --from` takes, a table, and paper.

  const tables = () => {
    const rows = [];
    const row = (taken, more, remark = "") => {
      const note = [taken.note, taken.by && `by ${taken.by}`, remark].filter(Boolean).join("; ");
      const time = { ...(taken.date && { date: taken.date }), ...(taken.time && { time: taken.time }) };
      rows.push({ ...time, ...more, ...(note && { note }) });
    };
    for (const [key, field] of Object.entries(data.fields)) {
      const taken = state.taken[key];
      const found = taken && judge(field, taken);
      if (!found || found.verdict === "mistake") continue;
      if (field.number && !(field.boxes[0] || {}).key) {
        row(taken, { [found.verdict === "pass" ? "proven" : "failed"]: String(field.number) });
        continue;
      }
      const told = {};
      if (field.pump) told.pump = field.pump;
      // What tells no sun to the page tells none to the program: it is written beside.
      const inSun = (field.inSun ? found : found.also) || {};
      const unclear = field.asksSun && ["unknown", "mistake"].includes(inSun.verdict);
      const remark = unclear ? [taken.time, taken.sky, taken.light && `${taken.light} W/m2`].filter(Boolean).join(", ") : "";
      if (field.asksSun && !unclear) {
        if (taken.light) told.irradiance = `${number(taken.light, "the sun")} W/m2`;
        else if (taken.sky) told.sky = taken.sky;
      }
      field.boxes.forEach((box, place) => { told[box.key] = found.texts[place]; });
      if (field.state) told[field.madeOf === "fall" ? "house_main" : "pump_state"] = field.state;
      row(unclear ? { ...taken, time: "" } : taken, told, remark);
    }
    return rows;
  };

  // A text in quotes as TOML has it.
  const quoted = (text) => JSON.stringify(text)
    .replace(/[\u007f-\u009f]/g, (sign) => `\\u${sign.charCodeAt(0).toString(16).padStart(4, "0")}`);

  const asToml = () => {
    const head = ["# Readings taken on site.", "# wellsolar readings SITE --from readings.toml", ""];
    const told = tables().map((row) =>
      ["[[reading]]", ...Object.entries(row).map(([key, text]) => `${key} = ${quoted(text)}`), ""].join("\n"));
    return [...head, ...told].join("\n");
  };

  // A number with its unit, and how far it may be off.
  const MEASURED = /^[+-]?[\d.]+( [\w/]+)?( \+- [\d.]+( %)?)?$/;

  // A spreadsheet takes any other cell that begins so for a formula.
  const cell = (text) => {
    const flat = text.replace(/\s+/g, " ");
    const safe = /^[=+\-@]/.test(flat) && !MEASURED.test(flat) ? `'${flat}` : flat;
    return /[",;]/.test(safe) ? `"${safe.replace(/"/g, '""')}"` : safe;
  };

  const asCsv = () => {
    const rows = tables();
    const heads = [...new Set(rows.flatMap((row) => Object.keys(row)))];
    return [heads, ...rows.map((row) => heads.map((head) => row[head] || ""))]
      .map((row) => row.map(cell).join(",")).join("\r\n") + "\r\n";
  };

  const write = () => { byId("text").value = asToml(); };

  const save = (name, text) => {
    const link = element("a", "", { download: name });
    link.href = URL.createObjectURL(new Blob([text], { type: "text/plain" }));
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  };

  const toPaper = () => {
    const [body, photos] = [byId("taken"), byId("photos")];
    body.replaceChildren();
    photos.replaceChildren();
    for (const [key, field] of Object.entries(data.fields)) {
      const taken = state.taken[key];
      const found = taken && judge(field, taken);
      if (!found || found.verdict === "mistake") continue;
      const name = (field.number ? `${field.number}. ` : "") + field.label + (field.pump ? `, ${field.pump}` : "");
      const read = field.madeOf === "words" ? "" : found.texts.join("; ");
      const band = found.band ? bandText(field, taken, found.band) : "";
      const causes = [...found.causes, ...(found.also ? found.also.causes : [])];
      const why = [WORDS[found.verdict].slice(2), found.warning, ...causes.slice(0, 1)].filter(Boolean);
      const when = [taken.date, taken.time, taken.by, taken.note].filter(Boolean).join(", ");
      const row = element("tr");
      for (const text of [name, read, band, why.join(": "), when]) row.append(element("td", text));
      body.append(row);
      if (taken.photo) {
        const figure = element("figure");
        figure.append(element("img", "", { src: taken.photo, alt: name }), element("figcaption", name));
        photos.append(figure);
      }
    }
    if (!body.rows.length) {
      const row = element("tr");
      row.append(element("td", "No reading was taken.", { colspan: "5" }));
      body.append(row);
    }
  };

  // ---- Sizes to be changed by thumb.

  const sizesOf = (values) => {
    const size = structuredClone(sizes);
    for (const { key } of data.whatIf.inputs) {
      const [what, place, part] = key.split(".");
      if (what === "pump") size.pumps[place][part] = values[key];
      else if (what === "array") size.heater[place] = values[key];
      else if (["series", "power", "voltage", "light"].includes(key)) size.heater[key] = values[key];
      else if (key === "thermostat") size.tank[key] = values[key];
      else size[key] = values[key];
    }
    return size;
  };

  const inTime = (seconds) => {
    if (seconds === null) return "it does not get there";
    if (seconds < 120) return `${digits(seconds)} s`;
    return seconds < 7200 ? `${digits(seconds / 60)} min` : `${digits(seconds / 3600)} h`;
  };

  // A time to a burn, rounded to the safe side.
  const burning = (seconds, shorter) => {
    if (seconds < 1 || shorter) return `less than ${Math.max(1, Math.floor(seconds))} s`;
    return seconds < 60 ? `${Math.floor(seconds + 1e-6)} s` : `${Math.floor(seconds / 60 + 1e-6)} min`;
  };

  const inDays = (run, shown) => {
    if (!run) return "not known: more water a day than a household's";
    if (run.day === null) return `not on such days: no warmer than ${shown("temperature", run.warmest)}`;
    const [hours, minutes] = [Math.floor(run.time / 3600), Math.round(run.time % 3600 / 60)];
    return `day ${run.day}, ${hours}:${String(minutes).padStart(2, "0")} by the sun`;
  };

  const ofTank = ({ tank }, found, shown) => {
    const told = [];
    const warm = (value) => shown("temperature", value);
    if (found.idle) {
      told.push(["Sun's heat for the tank on such a day", shown("energy", found.energy)]);
      told.push([`From cold to ${warm(tank.thermostat)}, nothing drawn`, inDays(found.idle, shown)]);
      if (found.draw !== null) {
        told.push(["Hot water these people draw a day", shown("volume", found.draw)]);
        told.push([`From cold to ${warm(tank.thermostat)}, with that drawn`, inDays(found.drawn, shown)]);
      }
    }
    told.push(["The tank's loss at its setting", shown("power", Math.max(0, found.lost))]);
    if (found.full !== null)
      told.push([`A full tank gives, mixed to ${warm(tank.tap)}`, `${shown("volume", found.full)}, ${shown("fraction", found.share)} of it hot`]);
    const burns = found.burn === null ? "burns nobody by the published times"
      : `burns an adult in ${burning(...found.burn)}, a child in ${burning(found.burn[0] * tank.child, found.burn[1])}`;
    told.push([tank.mixed ? "At the taps, should the mixing valve fail" : "At the taps, as no valve mixes it", burns]);
    const enough = tank.thermostat >= tank.storage || warm(tank.thermostat) === warm(tank.storage);
    const there = found.idle && (found.drawn || found.idle).day === null ? ", but the sun alone does not bring it there on such days" : "";
    told.push([`Against legionella, ${warm(tank.storage)}`, enough ? `set hot enough${there}` : "set too cool"]);
    return told;
  };

  const answersOf = (values) => {
    const size = sizesOf(values);
    const found = core.reckoned(size, days);
    const shown = (kind, value) => {
      const [unit, factor, offset] = data.whatIf.units[kind];
      return `${digits((value - offset) / factor)} ${unit}`;
    };
    const told = [];
    found.pumps.forEach((each, place) => {
      const { name } = size.pumps[place];
      told.push([`${name}: flow at cut-in, cut-out`, `${shown("flow", each.atIn.flow)}, ${shown("flow", each.atOut.flow)}`]);
      told.push([`${name}: head at cut-in, cut-out`, `${shown("head of water", each.atIn.head)}, ${shown("head of water", each.atOut.head)}`]);
      told.push([`${name}: current at cut-in, cut-out`, `${shown("current", each.atIn.current)}, ${shown("current", each.atOut.current)}`]);
      if (each.lost !== null) told.push([`${name}: voltage lost in its cable`, shown("fraction", each.lost)]);
      if (size.tank_volume !== null) told.push([`${name}: from cut-in to cut-out`, inTime(each.fill)]);
    });
    if (found.drawdown !== null) {
      told.push(["Tank: water from cut-out to cut-in", shown("volume", found.drawdown)]);
      if (size.watch > 0 && size.bucket > 0) {
        told.push(["Flow by bucket and watch", shown("flow", size.bucket / size.watch)]);
        told.push(["Run time of a fill at that flow", inTime(found.drawdown * size.watch / size.bucket)]);
      }
    }
    if (found.heater) {
      told.push(["Element: current, voltage", `${shown("current", found.heater.current)}, ${shown("voltage", found.heater.voltage)}`]);
      told.push(["Element: power", shown("power", found.heater.power)]);
      told.push(["Lost in the modules' cable", shown("power", found.heater.wireLoss)]);
    }
    if (found.tank) told.push(...ofTank(size, found.tank, shown));
    found.hands.forEach((time, place) =>
      told.push([`By hand, the water where the file has it: ${size.hands[place].label}`, inTime(time)]));
    return told;
  };

  const startWhatIf = () => {
    const place = byId("sizes");
    if (!place) return;
    const inFile = {};
    for (const input of data.whatIf.inputs) inFile[input.key] = input.value;
    const values = { ...inFile };
    const before = answersOf(inFile);
    const show = () => {
      const list = element("dl");
      let told = [];
      const wrong = values.cut_out <= values.cut_in ? "Cut-out lies above cut-in." : "";
      if (!wrong) told = answersOf(values);
      told.forEach(([name, text], at) => {
        const row = element("div");
        const answer = element("dd", text);
        if (before[at][1] !== text) answer.append(element("span", `in the file ${before[at][1]}`, { class: "before" }));
        row.append(element("dt", name), answer);
        list.append(row);
      });
      byId("answers").replaceChildren(wrong ? element("p", wrong) : list);
    };
    const refresh = [];
    for (const input of data.whatIf.inputs) {
      const row = element("div", "", { class: "size" });
      const name = element("span", input.unit && input.unit[0] ? `${input.label}, ${input.unit[0]}` : input.label, { class: "name" });
      row.append(name);
      const mark = () => row.classList.toggle("changed", values[input.key] !== inFile[input.key]);
      const choices = data.whatIf.choices[input.key.split(".").pop()];
      if (choices) {
        const select = element("select", "", { "aria-label": input.label, "data-size": input.key });
        for (const [value, choice = value] of choices) select.append(element("option", choice, { value }));
        select.addEventListener("input", () => { values[input.key] = select.value; mark(); show(); });
        row.append(select);
        refresh.push(() => { select.value = values[input.key]; mark(); });
      } else {
        const [, factor, offset] = input.unit;
        const box = element("input", "", { type: "text", inputmode: "decimal", maxlength: "10", "aria-label": input.label, "data-size": input.key });
        const put = () => { box.value = digits((values[input.key] - offset) / factor); mark(); };
        const least = input.step === 1 && ["series", "people", "pumpers"].includes(input.key) ? 1 : 0;
        const set = (number) => {
          const whole = least ? Math.round(number) : number;
          values[input.key] = Math.min(Math.max(whole, least), 1e5) * factor + offset;
          mark();
          show();
        };
        box.addEventListener("input", () => {
          const number = parseFloat(box.value.replace(",", "."));
          if (Number.isFinite(number)) set(number);
        });
        const by = (sign) => {
          const button = element("button", sign > 0 ? "+" : "−", { type: "button", "aria-label": `${input.label}: ${sign > 0 ? "more" : "less"}` });
          button.addEventListener("click", () => {
            set((values[input.key] - offset) / factor + sign * input.step);
            put();
          });
          return button;
        };
        row.append(by(-1), box, by(1));
        refresh.push(put);
      }
      place.append(row);
    }
    byId("as-in-the-file").addEventListener("click", () => {
      Object.assign(values, inFile);
      for (const each of refresh) each();
      show();
    });
    for (const each of refresh) each();
    show();
  };

  // ---- Questions, one after the other, ended by what the readings say of it.

  const startFaults = () => {
    const all = [...document.querySelectorAll("[data-fault]")];
    for (const each of all) each.tabIndex = -1;
    const show = () => {
      const asked = all.find((each) => location.hash === `#${each.id}`);
      for (const each of all)
        each.hidden = asked ? each !== asked : !("root" in each.dataset);
      byId("fault-back").hidden = !asked;
      const card = byId("card");
      if (card && location.hash === "#card") {
        card.open = true;
        card.scrollIntoView();
      }
      const taken = asked && asked.querySelector(".taken");
      if (!taken) return;
      taken.replaceChildren();
      const reads = (asked.dataset.reads || "").split(" ");
      for (const [key, field] of Object.entries(data.fields)) {
        const said = places.get(key).querySelector(".said");
        if (!field.boxes.some((box) => reads.includes(box.key)) || !said.dataset.verdict) continue;
        const name = field.label + (field.pump ? `, ${field.pump}` : "");
        taken.append(element("p", `Your reading, ${name}: ${said.innerText || said.textContent}`));
      }
      asked.focus({ preventScroll: true });
      asked.scrollIntoView();
    };
    window.addEventListener("hashchange", show);
    show();
  };

  const start = () => {
    load();
    startWhatIf();
    byId("by").value = state.by;
    byId("by").addEventListener("input", (event) => { state.by = cut(event.target.value, 12); keep(); });
    for (const name of ["sky", "light"]) {
      const input = byId(name);
      if (!input) continue;
      input.value = state[name];
      input.addEventListener("input", () => {
        state[name] = input.value;
        // The sun that is chosen holds for what was not read yet.
        for (const [key, field] of Object.entries(data.fields)) {
          if (!field.asksSun) continue;
          const taken = state.taken[key];
          if (taken) Object.assign(taken, { sky: state.sky, light: state.light });
          show(key);
        }
        tally();
        write();
        keep();
      });
    }
    for (const [key, place] of places) {
      fill(key);
      place.addEventListener("input", (event) => {
        if (event.target.matches("[data-photo]")) return;
        event.target.dataset.touched = "1";
        typedIn(key);
      });
      for (const button of place.querySelectorAll("[data-mark]"))
        button.addEventListener("click", () => {
          const taken = takenOf(key);
          taken.mark = taken.mark === button.dataset.mark ? "" : button.dataset.mark;
          fill(key);
          changed(key);
        });
      const photo = place.querySelector("[data-photo]");
      photo.addEventListener("change", () => photographed(key, photo));
    }
    byId("save-toml").addEventListener("click", () => save("readings.toml", asToml()));
    byId("save-csv").addEventListener("click", () => save("readings.csv", asCsv()));
    byId("save-site").addEventListener("click", () =>
      save("site.toml", JSON.parse(byId("site-file").textContent)));
    byId("print").addEventListener("click", () => { toPaper(); window.print(); });
    window.addEventListener("beforeprint", toPaper);
    byId("clear").addEventListener("click", (event) => {
      const button = event.target;
      if (button.dataset.sure) {
        state.taken = Object.create(null);
        for (const key of places.keys()) fill(key);
        tally();
        write();
        keep();
      }
      button.dataset.sure = button.dataset.sure ? "" : "1";
      button.textContent = button.dataset.sure ? "Touch again: all readings are deleted" : "Delete all readings";
    });
    startFaults();
    tally();
    write();
    keep();
  };

  start();
  // For the tests, which hold these sums to the program's.
  globalThis.onSite = Object.freeze({ data, judge, expected, asToml, asCsv, ...core, openWhatIf, suspects });
})();
