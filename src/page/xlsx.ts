// A spreadsheet's first sheet as text with tabs between the cells.
import readXlsxFile from "read-excel-file";

export async function sheetText(file: File): Promise<string> {
  const rows = await readXlsxFile(file);
  const cell = (value: unknown): string => (value === null || value === undefined ? "" : String(value).replace(/[\t\r\n]+/g, " "));
  return rows.map((row) => row.map(cell).join("\t")).join("\n");
}
