// The model: a question as text in, an answer as text out, and the numbers of the runs beside it.

async function wakeModel() {
  const packed = Uint8Array.from(atob(PACKED), (c) => c.charCodeAt(0));
  const unpacked = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  const { instance } = await WebAssembly.instantiate(await new Response(unpacked).arrayBuffer(), {});
  const wasm = instance.exports;
  const numbers = (at, count) => new Float64Array(wasm.memory.buffer, at, count).slice();
  return function ask(question) {
    const bytes = new TextEncoder().encode(JSON.stringify(question));
    const at = wasm.space(bytes.length);
    new Uint8Array(wasm.memory.buffer, at, bytes.length).set(bytes);
    const length = wasm.ask();
    const text = new TextDecoder().decode(new Uint8Array(wasm.memory.buffer, wasm.answer_at(), length));
    const answer = JSON.parse(text);
    if (answer.mistake !== undefined) throw new Error(answer.mistake);
    (answer.runs ?? []).forEach((run, index) => {
      run.course.values = numbers(wasm.course_at(index), run.course.rows * run.course.columns.length);
      run.tallies.values = numbers(wasm.tallies_at(index), run.tallies.rows * run.tallies.columns.length);
    });
    return answer;
  };
}

// A value of a run's course at a time in minutes; undefined where there is no such column.
function courseAt(run, name, minute) {
  return cell(run.course, name, Math.min(run.course.rows - 1, Math.floor((minute * 60000) / run.course.every_ms)));
}

// A score so far; undefined before the first is told.
function tallyAt(run, name, minute) {
  return cell(run.tallies, name, talliesBy(run, minute) - 1);
}

// How many rows of scores are told by a time.
function talliesBy(run, minute) {
  return Math.min(run.tallies.rows, Math.floor((minute * 60000) / run.tallies.every_ms));
}

// Mean heat of a path over the last interval of scores, W.
function heatAt(run, path, minute) {
  const row = Math.max(1, talliesBy(run, minute) - 1);
  const now = cell(run.tallies, `heat ${path}`, row);
  const before = cell(run.tallies, `heat ${path}`, row - 1);
  return now === undefined || before === undefined ? undefined : ((now - before) / run.tallies.every_ms) * 1000;
}

function cell(table, name, row) {
  table.places ??= new Map(table.columns.map((column, place) => [column, place]));
  const place = table.places.get(name);
  return place === undefined || row < 0 || row >= table.rows ? undefined : table.values[row * table.columns.length + place];
}
