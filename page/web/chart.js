// The temperatures of all strategies over time, up to the time looked at.

const HOUR_MS = 3600000;
const LANES = 4;
const DASHES = ["", "9 4", "2 4", "10 3 2 3"];
const DASH_WORDS = ["unbroken line", "dashed line", "dotted line", "dash-dotted line"];

// Tanks with livestock, or all where none has any.
function shownTanks(scene) {
  const stocked = scene.tanks.filter((tank) => tank.livestock);
  return stocked.length > 0 ? stocked : scene.tanks;
}

function chartOf(played, width) {
  const { scene, runs } = played;
  const height = 270;
  const left = 44;
  const right = width < 600 ? 12 : 150;
  const top = 14;
  const bottom = 30;
  const minutes = scene.duration_ms / 60000;
  const tanks = shownTanks(scene);
  const good = runs.filter((run) => run.failed === null);
  let low = Math.min(scene.band_c[0], ...scene.cold.slice(0, 1).map((line) => line.temp_c)) - 0.3;
  let high = Math.max(scene.band_c[1], ...scene.hot.slice(0, 1).map((line) => line.temp_c)) + 0.5;
  for (const run of good) {
    for (const tank of tanks) {
      for (let row = 0; row < run.course.rows; row++) {
        const value = cell(run.course, `water ${tank.name}`, row);
        low = Math.min(low, value - 0.2);
        high = Math.max(high, value + 0.4);
      }
    }
  }
  const x = (minute) => left + ((width - left - right) * minute) / minutes;
  const y = (value) => top + ((height - top - bottom) * (high - value)) / (high - low);
  const parts = [];
  const text = (px, py, told, of = "") => parts.push(`<text x="${px.toFixed(1)}" y="${py.toFixed(1)}" font-size="12" ${of}>${escaped(told)}</text>`);

  // Neutral shading with labelled lines: what is wanted.
  const [from, to] = scene.band_c;
  parts.push(`<defs><pattern id="wanted" width="7" height="7" patternUnits="userSpaceOnUse"><rect width="7" height="7" fill="var(--shade)"/><circle cx="2" cy="2" r="0.8" fill="var(--rule)"/></pattern>
    <clipPath id="past"><rect x="0" y="0" width="${left}" height="${height}" id="past-box"/></clipPath></defs>`);
  parts.push(`<rect x="${left}" y="${y(to)}" width="${width - left - right}" height="${y(from) - y(to)}" fill="url(#wanted)"/>`);
  const every = Math.max(1, Math.ceil((high - low) / 7));
  for (let degree = Math.ceil(low); degree <= high; degree += every) {
    parts.push(`<path class="rule" d="M${left - 4} ${y(degree)}H${left}"/>`);
    text(left - 8, y(degree) + 4, `${degree}`, 'text-anchor="end"');
  }
  text(4, 11, "°C");
  const days = minutes / 1440;
  const dayStep = Math.max(1, Math.ceil(days / (width < 600 ? 5 : 14)));
  for (let day = 0; day <= days; day += dayStep) {
    parts.push(`<path class="rule" d="M${x(day * 1440)} ${height - bottom}v5"/>`);
    if (day < days) text(x(day * 1440) + 3, height - bottom + 17, dayStep > 20 ? `d ${day + 1}` : `day ${day + 1}`, 'class="soft"');
  }
  parts.push(`<path class="rule" d="M${left} ${top}V${height - bottom}H${width - right}"/>`);
  const lines = [];
  const labelled = (value, told, dashed, drop = -4) => {
    if (value < low || value > high) return;
    parts.push(`<path class="rule" d="M${left} ${y(value)}H${width - right}" ${dashed ? 'stroke-dasharray="1 5" stroke-width="2" stroke-linecap="round"' : ""}/>`);
    lines.push({ at: y(value) + drop, told });
  };
  labelled(to, `wanted: up to ${to} °C`, false);
  labelled(from, `wanted: from ${from} °C`, false, 14);
  const allowed = (line) => (line.allowed_h === null ? `danger line ${line.temp_c} °C` : `danger: ${line.temp_c} °C borne for ${lengthText(line.allowed_h * 60)}`);
  for (const line of [...scene.hot, ...scene.cold]) labelled(line.temp_c, allowed(line), true);

  parts.push('<g clip-path="url(#past)">');
  good.forEach((run) => {
    const index = runs.indexOf(run);
    for (const tank of tanks) {
      parts.push(`<path class="line s${index}" stroke-width="2.2" stroke-dasharray="${DASHES[index]}" d="${pathOf(run, `water ${tank.name}`, x, y, width)}"/>`);
    }
  });
  parts.push("</g>");
  parts.push(`<g id="now"></g>`);
  return {
    svg: `<svg viewBox="0 0 ${width} ${height}" role="img" aria-labelledby="chart-words">${parts.join("")}<title id="chart-words"></title></svg>`,
    lines, x, y, left, right, top, bottom, width, height, tanks,
  };
}

// A course as a path: of each pixel's column the lowest and the highest.
function pathOf(run, name, x, y, width) {
  const every = run.course.every_ms / 60000;
  const stride = Math.max(1, Math.floor(run.course.rows / (width * 1.5)));
  let path = "";
  for (let row = 0; row < run.course.rows; row += stride) {
    let lowest = Infinity;
    let highest = -Infinity;
    for (let k = row; k < Math.min(row + stride, run.course.rows); k++) {
      const value = cell(run.course, name, k);
      lowest = Math.min(lowest, value);
      highest = Math.max(highest, value);
    }
    const px = x(row * every).toFixed(1);
    path += `${path === "" ? "M" : "L"}${px} ${y(lowest).toFixed(1)}`;
    if (highest - lowest > 0.01) path += `L${px} ${y(highest).toFixed(1)}`;
  }
  return path;
}

// Moves the time of a chart that stands in the document.
function showNow(chart, played, state) {
  const { x, y, width, height, bottom, top, left, right } = chart;
  document.getElementById("past-box").setAttribute("width", x(state.at));
  const parts = [`<path class="line" stroke-width="1" d="M${x(state.at)} ${top}V${height - bottom}"/>`];
  // Names of lines stand where the course has been long ago, or is not yet.
  const early = x(state.at) < (left + width - right) / 2;
  for (const line of chart.lines) {
    parts.push(`<text class="soft halo" font-size="12" x="${early ? width - right - 6 : left + 6}" y="${line.at}"${early ? ' text-anchor="end"' : ""}>${escaped(line.told)}</text>`);
  }
  // What befell the tank, one above the other where they meet; what is small and daily is left out.
  const all = played.runs.find((run) => run.failed === null)?.happened ?? [];
  const isDaily = (one) => one.to_ms !== null && one.to_ms - one.from_ms < HOUR_MS && all.filter((other) => other.name === one.name).length > 1;
  const befell = all.filter((one) => (one.what !== null || one.name === "window open") && !isDaily(one) && one.from_ms / 60000 <= state.at);
  befell.slice(-LANES).forEach((one, lane) => {
    const from = x(one.from_ms / 60000);
    const to = x(Math.min(one.to_ms === null ? Infinity : one.to_ms / 60000, state.at));
    const at = height - bottom - 5 - lane * 15;
    const after = from < (left + width - right) * 0.6;
    parts.push(`<path class="line" stroke-width="2" d="M${from} ${at - 5}v10M${from} ${at}H${to}"/>`);
    parts.push(`<text class="halo" font-size="12" x="${after ? to + 5 : from - 5}" y="${at + 4}"${after ? "" : ' text-anchor="end"'}>${escaped(one.name)}</text>`);
  });
  const labels = [];
  played.runs.forEach((run, index) => {
    if (run.failed !== null) return;
    for (const tank of chart.tanks) {
      const value = courseAt(run, `water ${tank.name}`, state.at);
      parts.push(`<circle cx="${x(state.at)}" cy="${y(value)}" r="4" class="line s${index}" stroke-width="2.5" style="fill: var(--paper)"/>`);
      const of = chart.tanks.length > 1 ? ` ${tank.name}` : "";
      labels.push({ value, index, at: y(value), words: `${run.strategy}${of} ${value.toFixed(1)} °C` });
    }
  });
  // Labels stand apart even where lines meet.
  labels.sort((a, b) => a.at - b.at);
  for (let k = 1; k < labels.length; k++) labels[k].at = Math.max(labels[k].at, labels[k - 1].at + 15);
  const toTheLeft = right < 100 ? x(state.at) > width / 2 : false;
  for (const label of labels) {
    parts.push(`<text class="s${label.index} halo" font-size="13" font-weight="600" x="${x(state.at) + (toTheLeft ? -9 : 9)}" y="${Math.min(label.at + 4, height - 4)}"${toTheLeft ? ' text-anchor="end"' : ""}>${escaped(label.words)}</text>`);
  }
  document.getElementById("now").innerHTML = parts.join("");
  document.getElementById("chart-words").textContent = `Water temperature up to ${clockText(state.at)}: ${labels.map((label) => label.words).join(", ")}`;
}
