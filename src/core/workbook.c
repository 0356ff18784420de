/* The first sheet of a workbook: .xlsx (ECMA-376 part 1, SpreadsheetML) and .ods (OASIS
 * OpenDocument 1.3 part 3). Both are ZIP archives of XML files, read by libzip and libxml2; without
 * these a plain message says how to go on. Values are read as they are stored, formulas by the
 * result that was saved with them. */
#include "core/grid.h"
#include "core/text.h"

#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

bool sx_is_workbook(const char *data, size_t length) {
    return length >= 4 && memcmp(data, "PK\3\4", 4) == 0;
}

#ifndef SIXTURN_WORKBOOKS

SxStatus sx_workbook_read(const char *data, size_t length, const char *file, SxGrid *grid,
                          SxError *err) {
    (void)data, (void)length, (void)grid;
    sx_text_blame(err, file);
    return sx_fail(err, SX_BAD_INPUT,
                   "this sixturn was built without libzip and libxml2 and cannot open workbooks; "
                   "save the sheet as CSV");
}

#else

#include <libxml/parser.h>
#include <libxml/tree.h>
#include <zip.h>

enum {
    MOST_XML = 32 * 1024 * 1024, /* bytes unpacked; a roster needs a thousandth */
    MOST_REPEATED = 1000,        /* columns "repeated": what lies beyond is empty filling */
    MOST_ROWS = 1 << 20,         /* of a spreadsheet */
    NAME_SIZE = 256,
    DECIMAL = 10
};

typedef struct {
    zip_t *archive;
    const char *file;
    SxGrid *grid;
    SxError *err;
    SxStatus status;
    xmlDoc *strings; /* the shared strings of an .xlsx, or NULL */
    xmlNode **string;
    int string_count;
} Book;

static void fail(Book *book, const char *message) {
    if (book->status == SX_OK) {
        sx_text_blame(book->err, book->file);
        book->status = sx_fail(book->err, SX_BAD_INPUT, "%s", message);
    }
}

static void no_memory(Book *book) {
    if (book->status == SX_OK) {
        book->status = sx_out_of_memory(book->err);
    }
}

/* The whole number at the start of a word; 0 if there is none or it is beyond reason. */
static int whole(const char *word) {
    const long value = strtol(word, NULL, DECIMAL);
    return value < 0 || value > INT_MAX ? 0 : (int)value;
}

/* Was it memory that the archive's library lacked, or its unpacker? */
static bool lacked_memory(const zip_error_t *reason) {
    enum { UNPACKER_LACKED_MEMORY = -4 }; /* Z_MEM_ERROR of zlib.h */
    return zip_error_code_zip(reason) == ZIP_ER_MEMORY ||
           (zip_error_code_zip(reason) == ZIP_ER_ZLIB &&
            zip_error_code_system(reason) == UNPACKER_LACKED_MEMORY);
}

/* The XML file of this name, NULL if there is none or it cannot be read. */
static xmlDoc *open_xml(Book *book, const char *name) {
    zip_stat_t about;
    zip_file_t *entry = NULL;
    xmlDoc *document = NULL;
    if (zip_stat(book->archive, name, 0, &about) == 0 && about.size <= MOST_XML) {
        entry = zip_fopen(book->archive, name, 0);
        if (!entry && lacked_memory(zip_get_error(book->archive))) {
            no_memory(book);
        }
    }
    char *text = entry ? malloc((size_t)about.size + 1) : NULL;
    if (text && zip_fread(entry, text, about.size) == (zip_int64_t)about.size) {
        document = xmlReadMemory(text, (int)about.size, name, NULL,
                                 XML_PARSE_NONET | XML_PARSE_NOERROR | XML_PARSE_NOWARNING);
    }
    if (document && document->intSubset) { /* entities could unfold without end; no sheet has any */
        xmlFreeDoc(document);
        document = NULL;
    }
    if (entry && (!text || lacked_memory(zip_file_get_error(entry)))) {
        no_memory(book);
    }
    free(text);
    if (entry) {
        zip_fclose(entry);
    }
    return document;
}

static bool is(const xmlNode *node, const char *name) {
    return node->type == XML_ELEMENT_NODE && strcmp((const char *)node->name, name) == 0;
}

static xmlNode *child(const xmlNode *parent, const char *name) {
    for (xmlNode *node = parent ? parent->children : NULL; node; node = node->next) {
        if (is(node, name)) {
            return node;
        }
    }
    return NULL;
}

/* An attribute whatever its name space, cut to size; "" if it is not there. */
static const char *attribute(const xmlNode *node, const char *name, char *out, size_t size) {
    xmlChar *value = xmlGetProp((xmlNode *)node, (const xmlChar *)name);
    snprintf(out, size, "%s", value ? (const char *)value : "");
    xmlFree(value);
    return out;
}

/* Text that grows. */
typedef struct {
    char *text;
    size_t used;
    bool failed;
} Text;

static void add_text(Text *text, const char *more) {
    size_t length = strlen(more);
    char *grown = text->failed ? NULL : realloc(text->text, text->used + length + 1);
    if (!grown) {
        text->failed = true;
        return;
    }
    memcpy(grown + text->used, more, length + 1);
    text->text = grown;
    text->used += length;
}

static void put_cell(Book *book, int column, Text *text) {
    if (text->failed || (text->text && column < SX_GRID_COLUMNS &&
                         !sx_grid_add(book->grid, column, text->text, text->used))) {
        no_memory(book);
    }
    free(text->text);
}

static bool start_row(Book *book, int number) {
    if (book->status == SX_OK && !sx_grid_start_row(book->grid, number)) {
        if (book->grid->count == SX_GRID_ROWS) {
            fail(book, "the sheet has more than 100000 rows");
        }
        no_memory(book);
    }
    return book->status == SX_OK;
}

/* .xlsx */

/* A string item: its own text or its runs, without the phonetic reading (ECMA-376 part 1, 18.4.8).
 */
static void add_string_item(const xmlNode *item, Text *text) {
    for (const xmlNode *node = item ? item->children : NULL; node; node = node->next) {
        const xmlNode *holder = is(node, "t") ? node : is(node, "r") ? child(node, "t") : NULL;
        if (holder) {
            xmlChar *content = xmlNodeGetContent(holder);
            add_text(text, content ? (const char *)content : "");
            xmlFree(content);
        }
    }
}

static void open_strings(Book *book) {
    book->strings = open_xml(book, "xl/sharedStrings.xml");
    const xmlNode *root = book->strings ? xmlDocGetRootElement(book->strings) : NULL;
    int count = 0;
    for (const xmlNode *item = root ? root->children : NULL; item; item = item->next) {
        count += is(item, "si");
    }
    book->string = count ? calloc((size_t)count, sizeof(xmlNode *)) : NULL;
    if (count && !book->string) {
        no_memory(book);
        return;
    }
    for (xmlNode *item = root ? root->children : NULL; item && book->string; item = item->next) {
        if (is(item, "si")) {
            book->string[book->string_count++] = item;
        }
    }
}

/* The column of a reference such as "AB12", -1 if it is none. */
static int column_of(const char *reference) {
    int column = 0;
    for (; *reference >= 'A' && *reference <= 'Z'; reference++) {
        column = column * 26 + (*reference - 'A' + 1);
        if (column > SX_GRID_COLUMNS) {
            return SX_GRID_COLUMNS;
        }
    }
    return column - 1;
}

/* What a cell holds, by its type (ECMA-376 part 1, 18.18.11). */
static void read_xlsx_cell(Book *book, const xmlNode *cell, int column) {
    char type[NAME_SIZE];
    Text text = {NULL, 0, false};
    attribute(cell, "t", type, sizeof type);
    const xmlNode *value = child(cell, "v");
    xmlChar *content = value ? xmlNodeGetContent(value) : NULL;
    if (strcmp(type, "inlineStr") == 0) {
        add_string_item(child(cell, "is"), &text);
    } else if (content && strcmp(type, "s") == 0) {
        long index = strtol((const char *)content, NULL, 10);
        bool there = index >= 0 && index < book->string_count;
        add_string_item(there ? book->string[index] : NULL, &text);
    } else if (content && strcmp(type, "b") == 0) {
        add_text(&text, content[0] == '1' ? "true" : "false");
    } else if (content) {
        add_text(&text, (const char *)content);
    }
    xmlFree(content);
    put_cell(book, column, &text);
}

static void read_xlsx_rows(Book *book, const xmlNode *data) {
    int number = 0;
    for (const xmlNode *row = data->children; row; row = row->next) {
        char word[NAME_SIZE];
        if (!is(row, "row")) {
            continue;
        }
        attribute(row, "r", word, sizeof word);
        number = word[0] ? whole(word) : number + 1;
        if (!start_row(book, number)) {
            return;
        }
        int column = -1;
        for (const xmlNode *cell = row->children; cell; cell = cell->next) {
            if (is(cell, "c")) {
                attribute(cell, "r", word, sizeof word);
                column = word[0] ? column_of(word) : column + 1;
                read_xlsx_cell(book, cell, column < 0 ? 0 : column);
            }
        }
        sx_grid_end_row(book->grid);
    }
}

/* The file of the first sheet: the workbook names a relation, the relations name the file. */
static void first_sheet(Book *book, char *name, size_t size) {
    char id[NAME_SIZE] = "", target[NAME_SIZE] = "worksheets/sheet1.xml";
    xmlDoc *workbook = open_xml(book, "xl/workbook.xml");
    const xmlNode *sheets = workbook ? child(xmlDocGetRootElement(workbook), "sheets") : NULL;
    const xmlNode *sheet = child(sheets, "sheet");
    if (sheet) {
        attribute(sheet, "id", id, sizeof id);
    }
    xmlFreeDoc(workbook);
    xmlDoc *relations = open_xml(book, "xl/_rels/workbook.xml.rels");
    const xmlNode *root = relations ? xmlDocGetRootElement(relations) : NULL;
    for (const xmlNode *node = root ? root->children : NULL; node; node = node->next) {
        char other[NAME_SIZE];
        if (is(node, "Relationship") &&
            strcmp(attribute(node, "Id", other, sizeof other), id) == 0) {
            attribute(node, "Target", target, sizeof target);
        }
    }
    xmlFreeDoc(relations);
    snprintf(name, size, target[0] == '/' ? "%s" : "xl/%s", target[0] == '/' ? target + 1 : target);
}

static void read_xlsx(Book *book) {
    char name[NAME_SIZE + 8];
    first_sheet(book, name, sizeof name);
    open_strings(book);
    xmlDoc *sheet = open_xml(book, name);
    const xmlNode *data = sheet ? child(xmlDocGetRootElement(sheet), "sheetData") : NULL;
    if (data) {
        read_xlsx_rows(book, data);
    } else {
        fail(book, "the workbook holds no sheet that can be read; save the sheet as CSV");
    }
    xmlFreeDoc(sheet);
    free(book->string);
    xmlFreeDoc(book->strings);
}

/* .ods */

/* A paragraph's text; repeated spaces, tabs and line ends are elements (ODF 1.3 part 3, 6.1). */
static void add_paragraph(const xmlNode *parent, Text *text) {
    for (const xmlNode *node = parent->children; node; node = node->next) {
        if (node->type == XML_TEXT_NODE || node->type == XML_CDATA_SECTION_NODE) {
            add_text(text, (const char *)node->content);
        } else if (is(node, "s") || is(node, "tab") || is(node, "line-break")) {
            add_text(text, " ");
        } else if (node->type == XML_ELEMENT_NODE && !is(node, "annotation")) {
            add_paragraph(node, text);
        }
    }
}

/* A number is taken from its value, for the text shows it rounded. */
static void add_ods_value(const xmlNode *cell, Text *text) {
    char value[NAME_SIZE], type[NAME_SIZE];
    attribute(cell, "value-type", type, sizeof type);
    attribute(cell, "value", value, sizeof value);
    if (strcmp(type, "float") == 0 && value[0]) {
        add_text(text, value);
        return;
    }
    for (const xmlNode *node = cell->children; node; node = node->next) {
        if (is(node, "p")) {
            add_text(text, text->used ? " " : "");
            add_paragraph(node, text);
        }
    }
}

static int repeated(const xmlNode *node, const char *name) {
    char word[NAME_SIZE];
    int count = whole(attribute(node, name, word, sizeof word));
    return count < 1 ? 1 : count > MOST_REPEATED ? MOST_REPEATED : count;
}

static void read_ods_row(Book *book, const xmlNode *row, int number) {
    int column = 0;
    if (!start_row(book, number)) {
        return;
    }
    for (const xmlNode *cell = row->children; cell; cell = cell->next) {
        if (!is(cell, "table-cell") && !is(cell, "covered-table-cell")) {
            continue;
        }
        for (int left = repeated(cell, "number-columns-repeated"); left > 0; left--) {
            Text text = {NULL, 0, false};
            if (column < SX_GRID_COLUMNS && cell->children) {
                add_ods_value(cell, &text);
            }
            put_cell(book, column++, &text);
        }
    }
    sx_grid_end_row(book->grid);
}

/* Rows may stand in groups and header rows. Empty rows are repeated by the million at a sheet's end
 * and only counted. */
static void read_ods_rows(Book *book, const xmlNode *parent, int *number) {
    for (const xmlNode *node = parent->children; node && book->status == SX_OK; node = node->next) {
        if (is(node, "table-row")) {
            char word[NAME_SIZE];
            int times = whole(attribute(node, "number-rows-repeated", word, sizeof word));
            int before = book->grid->count;
            times = times < 1 ? 1 : times > MOST_ROWS ? MOST_ROWS : times;
            read_ods_row(book, node, ++*number);
            bool empty = book->grid->count == before;
            for (int left = empty ? 0 : times - 1; left > 0 && book->status == SX_OK; left--) {
                read_ods_row(book, node, ++*number);
            }
            *number += empty ? times - 1 : 0;
        } else if (is(node, "table-row-group") || is(node, "table-header-rows") ||
                   is(node, "table-rows")) {
            read_ods_rows(book, node, number);
        }
    }
}

static void read_ods(Book *book) {
    xmlDoc *content = open_xml(book, "content.xml");
    const xmlNode *body = content ? child(xmlDocGetRootElement(content), "body") : NULL;
    const xmlNode *table = child(child(body, "spreadsheet"), "table");
    int number = 0;
    if (table) {
        read_ods_rows(book, table, &number);
    } else {
        fail(book, "the document holds no sheet that can be read; save the sheet as CSV");
    }
    xmlFreeDoc(content);
}

SxStatus sx_workbook_read(const char *data, size_t length, const char *file, SxGrid *grid,
                          SxError *err) {
    Book book = {.file = file, .grid = grid, .err = err};
    zip_error_t reason;
    zip_error_init(&reason);
    zip_source_t *source = zip_source_buffer_create(data, length, 0, &reason);
    book.archive = source ? zip_open_from_source(source, ZIP_RDONLY, &reason) : NULL;
    if (source && !book.archive) {
        zip_source_free(source);
    }
    if (!book.archive && lacked_memory(&reason)) {
        no_memory(&book);
    }
    zip_error_fini(&reason);
    if (!book.archive) {
        fail(&book, "this workbook is damaged; save it again, or save the sheet as CSV");
        return book.status;
    }
    if (zip_name_locate(book.archive, "xl/workbook.xml", 0) >= 0) {
        read_xlsx(&book);
    } else if (zip_name_locate(book.archive, "content.xml", 0) >= 0) {
        read_ods(&book);
    } else {
        fail(&book, "this archive is no workbook; expected .xlsx, .ods or a sheet saved as CSV");
    }
    zip_discard(book.archive);
    return book.status;
}

#endif
