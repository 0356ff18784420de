/* Workbooks as the formats allow them and few programs write them: each is put together here, as an
 * archive of plain files (ZIP, method 'stored'), from the XML that the standards describe (ECMA-376
 * part 1; OpenDocument 1.3 part 3). What it says, or that it says nothing, is written beside it. */
#include "core/grid.h"
#include "input_help.h"

#include <stdint.h>

enum { MOST_FILES = 6, LOCAL_SIZE = 30, CENTRAL_SIZE = 46, END_SIZE = 22 };

typedef struct {
    const char *name, *text;
} File;

typedef struct {
    char *byte;
    size_t used;
} Bytes;

/* --- an archive ---------------------------------------------------------------------------------
 */

static void put(Bytes *out, uint32_t value, int bytes) {
    for (int k = 0; k < bytes; k++) {
        out->byte[out->used++] = (char)(value >> 8 * k & 0xFF);
    }
}

static void put_text(Bytes *out, const char *text) {
    memcpy(out->byte + out->used, text, strlen(text));
    out->used += strlen(text);
}

/* CRC-32 as ZIP has it, bit by bit. */
static uint32_t crc_of(const char *text) {
    uint32_t crc = 0xFFFFFFFF;
    for (; *text; text++) {
        crc ^= (unsigned char)*text;
        for (int bit = 0; bit < 8; bit++) {
            crc = crc >> 1 ^ (crc & 1 ? 0xEDB88320 : 0);
        }
    }
    return ~crc;
}

/* What a file's local header and its entry in the directory have in common. */
static void put_facts(Bytes *out, const File *file) {
    const uint32_t size = (uint32_t)strlen(file->text);
    put(out, 20, 2); /* version needed */
    put(out, 0, 2);
    put(out, 0, 2); /* stored */
    put(out, 0, 4); /* time and date */
    put(out, crc_of(file->text), 4);
    put(out, size, 4);
    put(out, size, 4);
    put(out, (uint32_t)strlen(file->name), 2);
    put(out, 0, 2);
}

static Bytes archive(const File *file) {
    uint32_t at[MOST_FILES];
    size_t room = END_SIZE;
    int count = 0;
    for (; count < MOST_FILES && file[count].name; count++) {
        room += LOCAL_SIZE + CENTRAL_SIZE + 2 * strlen(file[count].name) + strlen(file[count].text);
    }
    Bytes out = {malloc(room), 0};
    for (int k = 0; k < count; k++) {
        at[k] = (uint32_t)out.used;
        put_text(&out, "PK\3\4");
        put_facts(&out, &file[k]);
        put_text(&out, file[k].name);
        put_text(&out, file[k].text);
    }
    const uint32_t directory = (uint32_t)out.used;
    for (int k = 0; k < count; k++) {
        put_text(&out, "PK\1\2");
        put(&out, 20, 2); /* made by */
        put_facts(&out, &file[k]);
        put(&out, 0, 2); /* comment */
        put(&out, 0, 2); /* disk */
        put(&out, 0, 2);
        put(&out, 0, 4);
        put(&out, at[k], 4);
        put_text(&out, file[k].name);
    }
    const uint32_t end = (uint32_t)out.used;
    put_text(&out, "PK\5\6");
    put(&out, 0, 4);
    put(&out, (uint32_t)count, 2);
    put(&out, (uint32_t)count, 2);
    put(&out, end - directory, 4);
    put(&out, directory, 4);
    put(&out, 0, 2);
    cr_assert_eq(out.used, room);
    return out;
}

/* --- reading it ---------------------------------------------------------------------------------
 */

static SxStatus read_bytes(const Bytes *bytes, SxGrid *grid, SxError *err) {
    memset(grid, 0, sizeof *grid);
    memset(err, 0, sizeof *err);
    return sx_workbook_read(bytes->byte, bytes->used, "made.zip", grid, err);
}

/* expected: rows ended by \n, cells by |; a row begins with its number. */
static void expect_cells(const File *file, const char *expected) {
    Bytes bytes = archive(file);
    SxGrid grid;
    SxError err;
    char told[4096];
    size_t used = 0;
    cr_assert_eq(read_bytes(&bytes, &grid, &err), SX_OK, "%s", err.message);
    for (int r = 0; r < grid.count; r++) {
        used += (size_t)snprintf(told + used, sizeof told - used, "%d:", grid.row[r].number);
        for (int c = 0; c < grid.row[r].count; c++) {
            used +=
                (size_t)snprintf(told + used, sizeof told - used, "%s|", sx_grid_cell(&grid, r, c));
        }
        used += (size_t)snprintf(told + used, sizeof told - used, "\n");
    }
    told[used] = '\0';
    cr_expect_str_eq(told, expected);
    sx_grid_free(&grid);
    free(bytes.byte);
}

static void expect_refused(const File *file, const char *said) {
    Bytes bytes = archive(file);
    SxGrid grid;
    SxError err;
    cr_expect_eq(read_bytes(&bytes, &grid, &err), SX_BAD_INPUT, "not refused: '%s'", said);
    cr_expect_not_null(strstr(err.message, said), "'%s' does not say '%s'", err.message, said);
    sx_grid_free(&grid);
    free(bytes.byte);
}

/* --- .xlsx --------------------------------------------------------------------------------------
 */

#define MAIN "xmlns='http://schemas.openxmlformats.org/spreadsheetml/2006/main'"
#define LINK "xmlns:r='http://schemas.openxmlformats.org/officeDocument/2006/relationships'"
#define WORKBOOK(id)                                                                               \
    "<workbook " MAIN " " LINK                                                                     \
    "><!-- ours --><fileVersion/><sheets> <sheet name='One' sheetId='1' "                          \
    "r:id='" id "'/><sheet name='Two' sheetId='2' r:id='rId9'/></sheets></workbook>"
#define RELATIONS(target)                                                                          \
    "<Relationships xmlns='http://schemas.openxmlformats.org/package/2006/relationships'> "        \
    "<Relationship Id='rId9' Target='worksheets/two.xml'/><Relationship Id='rId1' Target='" target \
    "'/></Relationships>"
#define SHEET(rows)                                                                                \
    "<worksheet " MAIN "> <cols/><sheetData>" rows "</sheetData><pageMargins/></worksheet>"

static void expect_sheet(const char *strings, const char *sheet, const char *expected) {
    const File files[MOST_FILES] = {{"xl/workbook.xml", WORKBOOK("rId1")},
                                    {"xl/_rels/workbook.xml.rels", RELATIONS("worksheets/a.xml")},
                                    {"xl/worksheets/a.xml", sheet},
                                    {"xl/worksheets/two.xml", SHEET("<row><c><v>2</v></c></row>")},
                                    {strings ? "xl/sharedStrings.xml" : NULL, strings}};
    expect_cells(files, expected);
}

/* Values of every type; a shared string may be in runs, with a reading beside it that is not said.
 */
Test(xlsx, cells_of_every_type) {
    expect_sheet("<sst " MAIN
                 "> <si><t>name</t></si><!-- --><si><r><rPr/><t>Al</t></r><r><t>ma</t></r>"
                 "<rPh sb='0' eb='2'><t>reading</t></rPh></si><si/></sst>",
                 SHEET("<row r='2'><c r='A2' t='s'><v>0</v></c><c r='C2' t='s'><v>1</v></c>"
                       "<c r='D2' t='s'><v>2</v></c><c r='E2' t='s'><v>3</v></c>"
                       "<c r='F2' t='s'><v>-1</v></c><c r='G2'><v>z</v></c></row>"
                       "<row r='5'><c r='A5' t='b'><v>1</v></c><c r='B5' t='b'><v>0</v></c>"
                       "<c r='C5' t='n'><v>7.25</v></c><c r='D5'><f>1+1</f><v>2</v></c>"
                       "<c r='E5' t='inlineStr'><is><t>in</t></is></c><c r='F5' t='inlineStr'/>"
                       "<c r='G5' t='str'><f>A1</f></c><c r='H5'><v>z</v></c></row>"),
                 "2:name||Alma||||z|\n5:true|false|7.25|2|in|||z|\n");
}

/* References may be left out: rows and cells then follow one another. What is no row or cell is
 * passed over, a row that says nothing too. */
Test(xlsx, rows_and_cells_without_references) {
    expect_sheet(NULL,
                 SHEET(" <row> <c><v>1</v></c>text<c><v>2</v></c></row><extLst/><row/>"
                       "<row><c/><c><v>3</v></c></row><row r='9999999999'><c><v>4</v></c></row>"),
                 "1:1|2|\n3:|3|\n0:4|\n");
}

/* Of two values for one cell the first counts; beyond the last column none does; a reference that
 * is none is the first column. */
Test(xlsx, cells_out_of_place) {
    expect_sheet(NULL,
                 SHEET("<row r='1'><c r='B1'><v>1</v></c><c r='B1'><v>2</v></c>"
                       "<c r='ZZZ1'><v>3</v></c><c r='C1'><v>4</v></c></row>"
                       "<row r='2'><c r='?'><v>5</v></c></row>"),
                 "1:|1|4|\n2:5|\n");
}

/* Targets are told from the part's folder or from the root; without relations the usual name. */
Test(xlsx, the_first_sheet_is_found) {
    const File absolute[MOST_FILES] = {{"xl/workbook.xml", WORKBOOK("rId1")},
                                       {"xl/_rels/workbook.xml.rels", RELATIONS("/xl/deep/a.xml")},
                                       {"xl/deep/a.xml", SHEET("<row><c><v>1</v></c></row>")}};
    expect_cells(absolute, "1:1|\n");
    const File usual[MOST_FILES] = {
        {"xl/workbook.xml", WORKBOOK("rId1")},
        {"xl/worksheets/sheet1.xml", SHEET("<row><c><v>2</v></c></row>")}};
    expect_cells(usual, "1:2|\n");
    const File nameless[MOST_FILES] = {
        {"xl/workbook.xml", "<workbook " MAIN "><sheets/></workbook>"},
        {"xl/_rels/workbook.xml.rels", RELATIONS("worksheets/a.xml")},
        {"xl/worksheets/sheet1.xml", SHEET("<row><c><v>3</v></c></row>")}};
    expect_cells(nameless, "1:3|\n");
}

Test(xlsx, what_cannot_be_read_is_refused) {
    static const char *const sheets[] = {
        "", "<worksheet", "<worksheet " MAIN "/>", "<worksheet " MAIN "><sheetdata/></worksheet>",
        "<!DOCTYPE worksheet [<!ENTITY a 'aaaa'>]>" SHEET("<row><c><v>1</v></c></row>")};
    for (size_t k = 0; k < sizeof sheets / sizeof *sheets; k++) {
        const File files[MOST_FILES] = {{"xl/workbook.xml", WORKBOOK("rId1")},
                                        {"xl/worksheets/sheet1.xml", sheets[k]}};
        expect_refused(files, "no sheet that can be read");
    }
    const File missing[MOST_FILES] = {{"xl/workbook.xml", WORKBOOK("rId1")}};
    expect_refused(missing, "no sheet that can be read");
}

/* --- .ods ---------------------------------------------------------------------------------------
 */

#define TABLE(rows)                                                                                \
    "<o:document-content xmlns:o='urn:oasis:names:tc:opendocument:xmlns:office:1.0' "              \
    "xmlns:t='urn:oasis:names:tc:opendocument:xmlns:table:1.0' "                                   \
    "xmlns:x='urn:oasis:names:tc:opendocument:xmlns:text:1.0'><o:body><o:spreadsheet>"             \
    "<t:calculation-settings/><t:table>" rows                                                      \
    "</t:table><t:table><t:table-row><t:table-cell><x:p>second</x:p></t:table-cell></t:table-row>" \
    "</t:table></o:spreadsheet></o:body></o:document-content>"

static void expect_table(const char *content, const char *expected) {
    const File files[MOST_FILES] = {{"content.xml", content}};
    expect_cells(files, expected);
}

/* A number by its value, for its text is rounded; white space by elements; spans; several
 * paragraphs; a note on a cell is not in it. */
Test(ods, cells_of_every_kind) {
    expect_table(
        TABLE(
            "<t:table-column/><t:table-row><t:table-cell o:value-type='float' o:value='7.25'>"
            "<x:p>7</x:p></t:table-cell><t:table-cell o:value-type='float'><x:p>8</x:p>"
            "</t:table-cell><t:table-cell o:value-type='string'><o:annotation><x:p>note</x:p>"
            "</o:annotation><x:p>a<x:s/>b<x:tab/>c<x:line-break/>d</x:p><x:p><x:span>e<![CDATA[f]]>"
            "<o:annotation><x:p>no</x:p></o:annotation></x:span><!-- --></x:p></t:table-cell>"
            "<t:covered-table-cell/><x:soft-page-break/><t:table-cell><x:p>g</x:p></t:table-cell>"
            "</t:table-row>"),
        "1:7.25|8|a b c d ef||g|\n");
}

/* Rows in groups and headers; those that are repeated; empty ones counted only, by the million too.
 */
Test(ods, rows_of_every_kind) {
    expect_table(
        TABLE(
            "<t:table-header-rows><t:table-row><t:table-cell><x:p>1</x:p></t:table-cell>"
            "</t:table-row></t:table-header-rows>"
            "<t:table-row t:number-rows-repeated='0'><t:table-cell/></t:table-row>"
            "<t:table-row-group><t:table-rows><t:table-row t:number-rows-repeated='2'>"
            "<t:table-cell t:number-columns-repeated='2'><x:p>3</x:p></t:table-cell></t:table-row>"
            "</t:table-rows></t:table-row-group>"
            "<t:table-row t:number-rows-repeated='1048000'><t:table-cell "
            "t:number-columns-repeated='16384'/></t:table-row>"
            "<t:table-row t:number-rows-repeated='99999999999'><t:table-cell/></t:table-row>"
            "<t:table-row t:number-rows-repeated='9999999'><t:table-cell/></t:table-row>"),
        "1:1|\n3:3|3|\n4:3|3|\n");
}

Test(ods, what_cannot_be_read_is_refused) {
    static const char *const contents[] = {
        "",
        "<a>",
        "<a/>",
        "<a><body/></a>",
        "<a><body><spreadsheet/></body></a>",
        "<!DOCTYPE a [<!ENTITY a 'aaaa'>]>" TABLE("<t:table-row/>")};
    for (size_t k = 0; k < sizeof contents / sizeof *contents; k++) {
        const File files[MOST_FILES] = {{"content.xml", contents[k]}};
        expect_refused(files, "no sheet that can be read");
    }
    expect_refused((File[MOST_FILES]){{"letter.txt", "Dear team"}}, "is no workbook");
}

/* More rows than a roster has, told before memory is full of them. */
Test(ods, too_many_rows_are_refused) {
    const File files[MOST_FILES] = {
        {"content.xml", TABLE("<t:table-row t:number-rows-repeated='100001'><t:table-cell><x:p>1"
                              "</x:p></t:table-cell></t:table-row>")}};
    expect_refused(files, "more than 100000 rows");
}

/* --- damaged ------------------------------------------------------------------------------------
 */

/* Whatever is cut off or changed, it is read or refused. */
Test(damaged, is_read_or_refused) {
    static const char *const files[] = {"tests/sheets/roster.xlsx", "tests/sheets/roster.ods"};
    int refused = 0;
    for (int k = 0; k < 2; k++) {
        size_t length;
        SxGrid grid;
        SxError err;
        char *data = read_whole(files[k], &length);
        for (size_t cut = 0; cut < length; cut += 97) {
            const Bytes part = {data, cut};
            cr_expect_eq(read_bytes(&part, &grid, &err), SX_BAD_INPUT, "%zu bytes", cut);
            sx_grid_free(&grid);
        }
        for (size_t at = 0; at < length; at += 31) {
            const Bytes whole = {data, length};
            data[at] ^= 0x55;
            const SxStatus status = read_bytes(&whole, &grid, &err);
            cr_expect(status == SX_OK || status == SX_BAD_INPUT, "byte %zu: %d", at, (int)status);
            refused += status == SX_BAD_INPUT;
            sx_grid_free(&grid);
            data[at] ^= 0x55;
        }
        free(data);
    }
    cr_expect_gt(refused, 0);
}
