// Names, times and signs in words.

// A file's name without its ending: who reads it knows that it is a file.
function shownName(name) {
  return name.replace(/\.toml$/, "");
}

// "day 2 14:05"
function clockText(minute) {
  const two = (n) => String(n).padStart(2, "0");
  return `day ${Math.floor(minute / 1440) + 1} ${two(Math.floor(minute / 60) % 24)}:${two(minute % 60)}`;
}

// "2 d 3 h", "45 min"
function lengthText(minutes) {
  if (minutes >= 1440) {
    const inHours = Math.round(minutes / 60);
    const days = Math.floor(inHours / 24);
    return inHours % 24 > 0 ? `${days} d ${inHours % 24} h` : `${days} d`;
  }
  const hours = Math.floor(minutes / 60);
  const rest = Math.floor(minutes % 60);
  if (hours > 0) return rest > 0 ? `${hours} h ${rest} min` : `${hours} h`;
  return `${rest} min`;
}

function escaped(text) {
  return String(text).replace(/[&<>"']/g, (c) => ({ "&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "'": "&#39;" })[c]);
}

// A text's width in a drawing, px.
function widthOf(words, size, weight = 400) {
  widthOf.pen ??= document.createElement("canvas").getContext("2d");
  widthOf.pen.font = `${weight} ${size}px system-ui, sans-serif`;
  return widthOf.pen.measureText(words).width;
}

// A file's bytes as text, without the mark that some editors put first.
function textOf(name, bytes) {
  try {
    return new TextDecoder("utf-8", { fatal: true }).decode(bytes);
  } catch {
    throw new Error(`${name}: this is no text (UTF-8)`);
  }
}
