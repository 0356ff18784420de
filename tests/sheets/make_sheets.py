"""Writes the workbooks and the files in other encodings of this folder, from roster.csv.

Run by hand, in this folder, when the roster changes; the results are committed. The workbooks are
written by libraries that others wrote (Debian: python3-openpyxl, python3-odf), so that the tests do
not read what sixturn's own idea of the formats is. All players are invented.
"""
import csv

import odf.opendocument
import odf.table
import odf.text
import openpyxl

ROWS = list(csv.reader(open("roster.csv", encoding="utf-8")))
TITLE = ["Our roster, spring"]


def value(cell):
    try:
        return float(cell) if "." in cell else int(cell)
    except ValueError:
        return cell


def write_xlsx(name, rows):
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.append(TITLE)
    sheet.append([])
    for row in rows:
        sheet.append([value(cell) for cell in row])
    sheet.merge_cells("A1:E1")
    book.create_sheet("Notes").append(["not the first sheet"])
    book.save(name)


def ods_cell(cell):
    number = not isinstance(value(cell), str)
    made = odf.table.TableCell(valuetype="float", value=cell) if number else \
        odf.table.TableCell(valuetype="string")
    made.addElement(odf.text.P(text=f"{float(cell):.0f}" if number else cell))  # shown rounded
    return made


def write_ods(name, rows):
    book = odf.opendocument.OpenDocumentSpreadsheet()
    sheet = odf.table.Table(name="Roster")
    title = odf.table.TableRow()
    cell = odf.table.TableCell(valuetype="string", numbercolumnsspanned=5)
    cell.addElement(odf.text.P(text=TITLE[0]))
    title.addElement(cell)
    title.addElement(odf.table.CoveredTableCell(numbercolumnsrepeated=4))
    sheet.addElement(title)
    empty = odf.table.TableRow(numberrowsrepeated=2)
    empty.addElement(odf.table.TableCell(numbercolumnsrepeated=9))
    sheet.addElement(empty)
    for row in rows:
        line = odf.table.TableRow()
        for entry in row:
            line.addElement(ods_cell(entry))
        line.addElement(odf.table.TableCell(numbercolumnsrepeated=1000))
        sheet.addElement(line)
    rest = odf.table.TableRow(numberrowsrepeated=1000000)
    rest.addElement(odf.table.TableCell(numbercolumnsrepeated=1024))
    sheet.addElement(rest)
    book.spreadsheet.addElement(sheet)
    book.save(name)


def delimited(rows, separator, end="\n"):
    return "".join(separator.join(row) + end for row in rows)


def commas(rows):
    return [[cell.replace(".", ",") if isinstance(value(cell), float) else cell for cell in row]
            for row in rows]


def main():
    write_xlsx("roster.xlsx", ROWS)
    write_ods("roster.ods", ROWS)
    open("windows-1252.csv", "wb").write(
        delimited(commas(ROWS), ";", "\r\n").encode("cp1252"))
    open("utf-16.txt", "wb").write(delimited(ROWS, "\t", "\r\n").encode("utf-16"))
    open("utf-16be.csv", "wb").write(delimited(ROWS, ",").encode("utf-16-be"))
    open("mark.csv", "wb").write(delimited(commas(ROWS), ";").encode("utf-8-sig"))
    wrong = [list(row) for row in ROWS]
    wrong[1][5] = "high"
    wrong[2][1] = "100"
    wrong[3][2] = "keeper"
    write_xlsx("wrong.xlsx", wrong)


main()
