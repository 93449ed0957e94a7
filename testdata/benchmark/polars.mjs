// Reads a station file with Polars, as docs/performance.md holds it against our own reading:
//
//   npm install --no-save nodejs-polars@0.25.2 nodejs-polars-linux-x64-gnu@0.25.2
//   POLARS_MAX_THREADS=1 node polars.mjs FILE LINES
//
// in a directory of its own, with this file copied to it, on 64-bit Linux.
// LINES are those before the header. Prints the processor time of a reading, the least and
// the middle one of twenty spells of fifty. Days are read as dates, the rest as numbers.
import pl from "nodejs-polars";

const [file, lines] = process.argv.slice(2);
const spells = [];
for (let spell = 0; spell < 20; spell++) {
  const before = process.cpuUsage();
  for (let i = 0; i < 50; i++) {
    const table = pl.readCSV(file, { skipRows: Number(lines), tryParseDates: true });
    if (table.height < 10000 || table.width !== 4) throw new Error(`${table.height} rows, ${table.width} columns`);
  }
  const used = process.cpuUsage(before);
  spells.push((used.user + used.system) / 1000 / 50);
}
spells.sort((a, b) => a - b);
console.log(`${spells[0].toFixed(2)} (${spells[10].toFixed(2)}) ms a reading`);
