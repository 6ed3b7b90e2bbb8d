// Units for people: metric or US customary. The model knows metric alone; what it tells is restated here, as the program does it.

const FAHRENHEIT_PER_KELVIN = 1.8;
const LITRES_PER_US_GALLON = 3.785411784;

// What the reader has chosen.
const reader = { us: UNITS === "us" };

function degrees(temp_c) {
  return reader.us ? temp_c * FAHRENHEIT_PER_KELVIN + 32 : temp_c;
}

function celsius(shown) {
  return reader.us ? (shown - 32) / FAHRENHEIT_PER_KELVIN : shown;
}

function degreeUnit() {
  return reader.us ? "°F" : "°C";
}

// "25.5 °C", "77.9 °F"
function temperatureText(temp_c, digits = 1) {
  return `${degrees(temp_c).toFixed(digits)} ${degreeUnit()}`;
}

// A stated temperature, without needless digits: "30 °C", "86 °F".
function lineText(temp_c) {
  return `${trimmed(degrees(temp_c), 1)} ${degreeUnit()}`;
}

// "0.42 K", "0.76 °F"
function differenceText(difference_k, digits = 2) {
  return reader.us ? `${(difference_k * FAHRENHEIT_PER_KELVIN).toFixed(digits)} °F` : `${difference_k.toFixed(digits)} K`;
}

// "3.5 L", "0.92 gal"
function volumeText(volume_l, digits = 1) {
  if (!reader.us) return `${volume_l.toFixed(digits)} L`;
  const gallons = volume_l / LITRES_PER_US_GALLON;
  return `${gallons.toFixed(digits === 1 && gallons < 9.995 ? 2 : digits)} gal`;
}

function trimmed(value, digits) {
  return String(Number(value.toFixed(digits)));
}

// Litres, K and °C in a text as gallons and °F. A figure counts if its unit follows after one space.
function restated(text) {
  if (!reader.us) return text;
  const words = text.split(" ");
  const told = [...words];
  for (let k = 0; k + 1 < words.length; k++) {
    const [, lead, figure] = /^([^\d-]*)(.*)$/su.exec(words[k]);
    const [, unit, rest] = /^([\p{L}°/]*)(.*)$/su.exec(words[k + 1]);
    if (!/^-?\d+(\.\d+)?$/.test(figure)) continue;
    const value = Number(figure);
    const meant = { K: [value * FAHRENHEIT_PER_KELVIN, "°F"], "°C": [degrees(value), "°F"], L: [value / LITRES_PER_US_GALLON, "gal"] }[unit];
    if (meant === undefined) continue;
    // Two digits of a small difference, else one.
    told[k] = lead + trimmed(meant[0], Math.abs(meant[0]) < 0.1 ? 2 : 1);
    told[k + 1] = meant[1] + rest;
  }
  return told.join(" ");
}
