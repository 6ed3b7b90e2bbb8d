// The temperatures of all tanks shown, over time, up to the time looked at. What befell them stands in lanes below, so that no word lies on a curve.

const HOUR_MS = 3600000;
const LANES = 4;
const LANE = 17;
// Height without lanes, px.
const PLOT = 350;
const PLOT_NARROW = 262;
// Room for the name of a time, px.
const TICK = 58;
const DASHES = ["", "9 4", "2 4", "10 3 2 3"];
const DASH_WORDS = ["unbroken line", "dashed line", "dotted line", "dash-dotted line"];
// Narrower than this the names of curves stand in a list below.
const NARROW = 600;

// Tanks with livestock, or all where none has any.
function shownTanks(scene) {
  const stocked = scene.tanks.filter((tank) => tank.livestock);
  return stocked.length > 0 ? stocked : scene.tanks;
}

// What all runs have in common of a list; without it, nothing is drawn for one that is not true of another.
function common(lists) {
  const [first = [], ...others] = lists.map((list) => list.map((one) => JSON.stringify(one)));
  return first.filter((one) => others.every((other) => other.includes(one))).map((one) => JSON.parse(one));
}

// A sample of a curve's line, for words beside it.
function lineKey(index) {
  return `<svg width="44" height="12" viewBox="0 0 44 12" style="width:44px" aria-hidden="true"><path class="line s${index}" stroke-width="3" stroke-dasharray="${DASHES[index]}" d="M0 6H44"/></svg>`;
}

// The curves: {run, index, name, words}.
function curvesOf(runs) {
  return runs.flatMap((run, index) => {
    if (run.failed !== null) return [];
    const tanks = shownTanks(run.scene);
    return tanks.map((tank) => ({ run, index, name: `water ${tank.name}`, words: tanks.length > 1 ? `${run.label} ${tank.name}` : run.label }));
  });
}

// The stretch of a run that is shown at a time, minutes: all of it, or the stretch of that length that the time lies in.
function stretchAt(at, span, last) {
  if (span === 0 || span >= last) return [0, last];
  const nth = at >= last ? Math.ceil(last / span) - 1 : Math.floor(at / span);
  return [nth * span, nth * span + span];
}

function chartOf(runs, width, at, span) {
  const curves = curvesOf(runs);
  const scenes = runs.filter((run) => run.failed === null).map((run) => run.scene);
  const narrow = width < NARROW;
  const left = 44;
  // The figure after a name is of one width.
  const labels = curves.map((curve) => widthOf(`${curve.words} ${temperatureText(20)}`, 13, 600) + 24);
  const events = eventsOf(runs);
  const words = events.map((one) => Math.min(width * 0.3, widthOf(one.words, 12) + 10));
  const right = narrow ? 12 : Math.max(60, ...labels, ...words);
  const top = 14;
  const bands = common(scenes.map((scene) => [scene.band_c]));
  const dangers = common(scenes.map((scene) => [...scene.hot, ...scene.cold]));
  const bottom = 28 + Math.min(LANES, events.length) * LANE + 4;
  const height = (narrow ? PLOT_NARROW : PLOT) + bottom - 28;
  const last = Math.max(1, ...runs.map((run) => run.scene.duration_ms / 60000));
  const [from, to] = stretchAt(at, span, last);
  const isClose = to - from < last;
  const x = (minute) => left + ((width - left - right) * (minute - from)) / (to - from);
  for (const curve of curves) curve.columns = columnsOf(curve.run, curve.name, x, from, to);
  const [low, high] = rangeOf(curves, scenes, bands, isClose);
  const y = (value) => top + ((height - top - bottom) * (high - value)) / (high - low);
  const parts = [];
  const text = (px, py, told, of = "") => parts.push(`<text x="${px.toFixed(1)}" y="${py.toFixed(1)}" font-size="12" ${of}>${escaped(told)}</text>`);

  // Neutral shading with labelled lines: what is wanted.
  parts.push(`<defs><pattern id="wanted" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="var(--shade)"/><circle cx="2" cy="2" r="0.8" fill="var(--rule)"/></pattern>
    <clipPath id="past"><rect x="0" y="0" width="${left}" height="${height}" id="past-box"/></clipPath></defs>`);
  const within = (value) => Math.min(high, Math.max(low, value));
  for (const [coldest, warmest] of bands) parts.push(`<rect x="${left}" y="${y(within(warmest))}" width="${width - left - right}" height="${y(within(coldest)) - y(within(warmest))}" fill="url(#wanted)"/>`);
  for (const degree of degreeTicks(degrees(low), degrees(high))) {
    parts.push(`<path class="rule" d="M${left - 4} ${y(celsius(degree))}H${left}"/>`);
    text(left - 8, y(celsius(degree)) + 4, `${degree}`, 'text-anchor="end"');
  }
  text(4, 11, degreeUnit());
  const foot = height - bottom;
  for (const minute of timeTicks(from, to, Math.max(3, Math.floor((width - left - right) / TICK)))) {
    parts.push(`<path class="rule" d="M${x(minute)} ${foot}v5"/>`);
    if (minute < to) text(x(minute) + 3, foot + 17, tickText(minute), 'class="soft"');
  }
  parts.push(`<path class="rule" d="M${left} ${top}V${foot}H${width - right}"/>`);
  const lines = [];
  const lined = (value, told, dashed, first) => {
    if (value < low || value > high) return;
    parts.push(`<path class="rule" d="M${left} ${y(value)}H${width - right}" ${dashed ? 'stroke-dasharray="1 5" stroke-width="2" stroke-linecap="round"' : ""}/>`);
    lines.push({ at: y(value), told, first });
  };
  for (const [coldest, warmest] of bands) {
    lined(warmest, `wanted: up to ${lineText(warmest)}`, false, -4);
    lined(coldest, `wanted: from ${lineText(coldest)}`, false, 14);
  }
  for (const line of dangers) lined(line.temp_c, dangerText(line, narrow), true, -4);

  parts.push('<g clip-path="url(#past)">');
  for (const curve of curves) parts.push(`<path class="line s${curve.index}" stroke-width="2.2" stroke-dasharray="${DASHES[curve.index]}" d="${pathOf(curve.columns, y)}"/>`);
  parts.push("</g>");
  parts.push(`<g id="now"></g>`);
  const chart = {
    svg: `<svg viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="chart-words">${parts.join("")}<title id="chart-words"></title></svg>`,
    curves, events, bands, from, to, last, x, y, left, right, top, foot, width, height, narrow,
    differ: scenes.some((scene) => JSON.stringify([scene.band_c, scene.hot, scene.cold]) !== JSON.stringify([scenes[0].band_c, scenes[0].hot, scenes[0].cold])),
  };
  chart.names = namesOf(chart, lines);
  return chart;
}

// "danger line 30 °C: 12 h use up the dose"
function dangerText(line, narrow) {
  const length = line.allowed_h === null ? undefined : lengthText(line.allowed_h * 60);
  const told = `danger${narrow ? "" : " line"} ${lineText(line.temp_c)}`;
  if (length === undefined) return told;
  return narrow ? `${told}: ${length}` : `${told}: ${length} use up the dose`;
}

// From the lowest to the highest that is shown, °C. Looked at closely, it is the curves alone that count.
function rangeOf(curves, scenes, bands, isClose) {
  const columns = curves.flatMap((curve) => curve.columns);
  const lowest = Math.min(...columns.map((column) => column.lowest));
  const highest = Math.max(...columns.map((column) => column.highest));
  if (isClose) {
    const room = Math.max(0.1, (highest - lowest) * 0.15);
    return [lowest - room, highest + room];
  }
  const first = (lines) => common(lines.map((list) => list.slice(0, 1))).map((line) => line.temp_c);
  return [
    Math.min(...bands.map((band) => band[0] - 0.3), ...first(scenes.map((scene) => scene.cold)).map((line) => line - 0.3), lowest - 0.2),
    Math.max(...bands.map((band) => band[1] + 0.5), ...first(scenes.map((scene) => scene.hot)).map((line) => line + 0.5), highest + 0.4),
  ];
}

// Round degrees between two, at most eight steps.
function degreeTicks(low, high) {
  const step = [0.05, 0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50].find((one) => (high - low) / one <= 8) ?? 100;
  const ticks = [];
  for (let nth = Math.ceil(low / step); nth * step <= high; nth++) ticks.push(Number((nth * step).toFixed(2)));
  return ticks;
}

// Round times between two, minutes; at most so many.
function timeTicks(from, to, most) {
  const days = Math.max(1, Math.ceil((to - from) / 1440 / most));
  const step = [30, 60, 120, 180, 360, 720].find((one) => (to - from) / one <= most) ?? days * 1440;
  const ticks = [];
  for (let at = Math.ceil(from / step) * step; at <= to; at += step) ticks.push(at);
  return ticks;
}

// "day 3", "06:00"
function tickText(minute) {
  const [day, time] = [Math.floor(minute / 1440) + 1, clockText(minute).split(" ")[2]];
  if (minute % 1440 !== 0) return time;
  return day > 99 ? `d ${day}` : `day ${day}`;
}

// A course by columns of pixels: in each the lowest and the highest.
function columnsOf(run, name, x, from, to) {
  const every = run.course.every_ms / 60000;
  const perPixel = 1 / Math.max(1e-9, x(every) - x(0));
  const stride = Math.max(1, Math.floor(perPixel * 0.7));
  const columns = [];
  const first = Math.max(0, Math.floor(from / every));
  const end = Math.min(run.course.rows, Math.ceil(to / every) + 1);
  for (let row = first; row < end; row += stride) {
    let lowest = Infinity;
    let highest = -Infinity;
    for (let k = row; k < Math.min(row + stride, end); k++) {
      const value = cell(run.course, name, k);
      lowest = Math.min(lowest, value);
      highest = Math.max(highest, value);
    }
    columns.push({ x: x(row * every), lowest, highest });
  }
  return columns;
}

function pathOf(columns, y) {
  return columns.map(({ x, lowest, highest }, nth) => {
    const px = x.toFixed(1);
    return `${nth === 0 ? "M" : "L"}${px} ${y(lowest).toFixed(1)}${highest - lowest > 0.01 ? `L${px} ${y(highest).toFixed(1)}` : ""}`;
  }).join("");
}

// What befell the tanks, first things first; what is small and daily is left out. What befell some of several tanks says which.
function eventsOf(runs) {
  const good = runs.filter((run) => run.failed === null);
  const found = new Map();
  for (const run of good) {
    const isDaily = (one) => one.to_ms !== null && one.to_ms - one.from_ms < HOUR_MS && run.happened.filter((other) => other.name === one.name).length > 1;
    for (const one of run.happened.filter((one) => (one.what !== null || one.name === "window open") && !isDaily(one))) {
      const key = JSON.stringify([one.name, one.from_ms, one.to_ms]);
      if (!found.has(key)) found.set(key, { ...one, labels: [] });
      found.get(key).labels.push(run.label);
    }
  }
  const named = (one) => ({ ...one, words: one.labels.length === good.length ? one.name : `${one.name} (${one.labels.join("; ")})` });
  return [...found.values()].map(named).sort((a, b) => a.from_ms - b.from_ms);
}

// Moves the time of a chart that stands in the document.
function showNow(chart, state) {
  const { x, y, width, foot, top } = chart;
  const now = x(state.at);
  document.getElementById("past-box").setAttribute("width", now);
  const parts = [`<path class="line" stroke-width="1" d="M${now} ${top}V${foot}"/>`];
  const labels = chart.curves.map((curve) => {
    const value = courseAt(curve.run, curve.name, state.at);
    return { index: curve.index, value, at: y(value), words: curve.words, told: temperatureText(value) };
  });
  const boxes = chart.narrow ? [] : placedLabels(chart, labels, now);
  // A name makes way for what moves.
  for (const name of chart.names) {
    if (!boxes.some((box) => overlap(box, name))) parts.push(`<text class="soft halo" font-size="12" x="${name.left.toFixed(1)}" y="${name.base.toFixed(1)}">${escaped(name.told)}</text>`);
  }
  for (const label of labels) parts.push(`<circle cx="${now}" cy="${label.at}" r="4" class="line s${label.index}" stroke-width="2.5" style="fill: var(--paper)"/>`);
  for (const box of boxes) {
    if (Math.abs(box.base - 4 - box.at) > 9) parts.push(`<path class="line s${box.index}" stroke-width="1" d="M${now + 5} ${box.at}L${box.left - 1} ${box.base - 4}"/>`);
    parts.push(`<text class="s${box.index} halo curve" font-size="13" font-weight="600" x="${box.left.toFixed(1)}" y="${box.base.toFixed(1)}">${escaped(`${box.words} ${box.told}`)}</text>`);
  }
  const shows = (one) => one.from_ms / 60000 <= state.at && (one.to_ms === null || one.to_ms / 60000 > chart.from);
  chart.events.filter(shows).slice(-LANES).forEach((one, lane) => drawEvent(parts, chart, one, lane, state.at));
  document.getElementById("now").innerHTML = parts.join("");
  const told = labels.map((label) => `${label.words} ${label.told}`);
  document.getElementById("chart-words").textContent = `Water temperature up to ${clockText(state.at)}: ${told.join(", ")}`;
  document.getElementById("legend").innerHTML = chart.narrow ? labels.map((label) => `<li>${lineKey(label.index)}<span>${escaped(label.words)}</span> <b class="curve">${escaped(label.told)}</b></li>`).join("") : "";
}

function drawEvent(parts, chart, one, lane, minute) {
  const { x, left, width, foot } = chart;
  const began = one.from_ms / 60000;
  const from = x(Math.max(chart.from, began));
  const to = x(Math.min(one.to_ms === null ? Infinity : one.to_ms / 60000, minute));
  const at = foot + 34 + lane * LANE;
  const room = widthOf(one.words, 12) + 8;
  parts.push(`<path class="line" stroke-width="2" d="${began < chart.from ? "" : `M${from} ${at - 5}v10`}M${from} ${at}H${to}"/>`);
  const [px, anchor] = to + room < width ? [to + 5, "start"] : from - room > left ? [from - 5, "end"] : [width - 2, "end"];
  parts.push(`<text class="halo" font-size="12" x="${px.toFixed(1)}" y="${at + 4}" text-anchor="${anchor}">${escaped(fitted(one.words, 12, width - 4))}</text>`);
}
