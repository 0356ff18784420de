// Cells of a pasted table, only to show them: what they mean is for the engine to say.

export function delimiterOf(text: string): string {
  const first = text.slice(0, text.search(/\n/) === -1 ? undefined : text.indexOf("\n"));
  return first.includes("\t") ? "\t" : first.includes(";") ? ";" : ",";
}

/** Rows of cells; a cell in double quotes may hold the delimiter, line ends and doubled quotes. */
export function cellsOf(text: string, delimiter: string): string[][] {
  const rows: string[][] = [[]];
  let cell = "";
  let quoted = false;
  for (let k = 0; k < text.length; k++) {
    const c = text[k]!;
    if (quoted) {
      if (c === '"' && text[k + 1] === '"') cell += text[k++];
      else if (c === '"') quoted = false;
      else cell += c;
    } else if (c === '"' && cell === "") {
      quoted = true;
    } else if (c === delimiter) {
      rows[rows.length - 1]!.push(cell);
      cell = "";
    } else if (c === "\n") {
      rows[rows.length - 1]!.push(cell);
      cell = "";
      rows.push([]);
    } else if (c !== "\r") {
      cell += c;
    }
  }
  rows[rows.length - 1]!.push(cell);
  if (rows[rows.length - 1]!.join("") === "") rows.pop();
  return rows;
}

export function textOfCells(rows: string[][]): string {
  const cell = (text: string): string => (/[\t\n"]/.test(text) ? `"${text.replace(/"/g, '""')}"` : text);
  return rows.map((row) => row.map(cell).join("\t")).join("\n") + "\n";
}
