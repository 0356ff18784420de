/* The report in a real browser, if one is installed: no message on its console, no sideways scroll
 * on a phone or a screen, and a page whose parts fit together. Common practice, no source: 390 and
 * 1280 pixels stand for a phone and a screen. */
#define _POSIX_C_SOURCE 200809L
#include "sheet_fixture.h"
#include "support.h"

#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static const char browser[] = "/usr/bin/chromium";

/* Looks at the page inside a frame of the wanted width and writes what it finds into the title. */
static const char look[] =
    "onload=()=>{let d=document.getElementById('f').contentDocument,e=d.documentElement,"
    "all=[...d.querySelectorAll('*')],ids=all.map(x=>x.id).filter(x=>x),"
    "levels=[...d.querySelectorAll('h1,h2,h3')].map(x=>+x.tagName[1]),"
    "lost=[...d.querySelectorAll('[aria-labelledby]')].flatMap("
    "x=>x.getAttribute('aria-labelledby').split(' ')).filter(x=>!d.getElementById(x)),"
    "dead=[...d.querySelectorAll('a')].filter("
    "x=>!d.getElementById(x.getAttribute('href').slice(1)));"
    "document.title='over '+(e.scrollWidth-e.clientWidth)+' twice '+(ids.length-new "
    "Set(ids).size)+' lost '+lost.length+' dead '+dead.length+' skipped '"
    "+levels.filter((l,i)=>l>(i?levels[i-1]+1:1)).length+' headless '"
    "+[...d.querySelectorAll('table.stack')].filter(t=>!t.querySelector('th[scope=col]')).length"
    "+' svg '+d.querySelectorAll('svg[role=img]').length+' width '+e.clientWidth;}";

static void put_escaped(FILE *out, const char *text) {
    for (; *text; text++) {
        if (*text == '"') {
            fputs("&quot;", out);
        } else if (*text == '&') {
            fputs("&amp;", out);
        } else {
            fputc(*text, out);
        }
    }
}

/* What the browser says of the page: the title it was given, and its console. */
static void visit(const char *html, int width, char *title, size_t size, bool *quiet) {
    char folder[] = "/tmp/sixturn-page-XXXXXX", file[64], command[1024];
    cr_assert_not_null(mkdtemp(folder));
    snprintf(file, sizeof file, "%s/frame.html", folder);
    FILE *out = fopen(file, "w");
    fprintf(out,
            "<!DOCTYPE html><meta charset=\"utf-8\"><title>none</title><body style=\"margin:0\">"
            "<script>%s</script><iframe id=\"f\" style=\"border:0;width:%dpx;height:800px\" "
            "srcdoc=\"",
            look, width);
    put_escaped(out, html);
    fputs("\"></iframe>", out);
    fclose(out);
    snprintf(command, sizeof command,
             "%s --headless --no-sandbox --disable-gpu --no-first-run "
             "--disable-background-networking --disable-component-update --disable-sync "
             "--hide-scrollbars --enable-logging=stderr --user-data-dir=%s/profile "
             "--window-size=1400,900 "
             "--dump-dom file://%s",
             browser, folder, file);
    Run run = run_shell(command);
    const char *found = strstr(run.out, "<title>");
    cr_assert_not_null(found, "no page came back: %s", run.err);
    snprintf(title, size, "%.*s", (int)strcspn(found + 7, "<"), found + 7);
    *quiet = strstr(run.err, "CONSOLE") == NULL;
    run_free(&run);
    snprintf(command, sizeof command, "rm -rf %s", folder);
    run = run_shell(command);
    run_free(&run);
}

static void need_browser(void) {
    if (access(browser, X_OK) != 0) {
        cr_skip_test("no %s", browser);
    }
}

static void check_page(const char *html, int drawings) {
    static const int widths[] = {390, 1280};
    for (int w = 0; w < 2; w++) {
        char title[256], wanted[256];
        bool quiet;
        visit(html, widths[w], title, sizeof title, &quiet);
        snprintf(wanted, sizeof wanted,
                 "over 0 twice 0 lost 0 dead 0 skipped 0 headless 0 svg %d width %d", drawings,
                 widths[w]);
        cr_expect_str_eq(title, wanted);
        cr_expect(quiet, "the console has something to say");
    }
}

static char *report_of(NameSet names) {
    static SheetFixture fixture;
    static const char *const cells[] = {"Without", "Points lost", "Then",
                                        "1",       "0.50",        "#12 for #1"};
    static const SxTable table = {"If a player is absent", "A note", 2, 3, cells};
    sheet_fixture_make(&fixture, "6-2", names, 3);
    SxHtml report = {.sheet = fixture.sheet, .table_count = 1, .tables = &table};
    SxError err = {0};
    char *html;
    size_t size;
    cr_assert_eq(sx_html_render(&report, &html, &size, &err), SX_OK, "%s", err.message);
    return html;
}

enum { DRAWINGS = 1 + SX_PHASES * SX_ROTATIONS }; /* the chart and the courts */

Test(report_page, names_of_any_length_and_script_fit, .timeout = 240) {
    need_browser();
    for (int names = 0; names < NAME_SETS; names++) {
        char *html = report_of(names);
        check_page(html, DRAWINGS);
        free(html);
    }
}

/* The look into the browser can fail: here it must. */
Test(report_page, a_broken_page_would_be_found, .timeout = 60) {
    need_browser();
    char title[256];
    bool quiet;
    visit("<h1>a</h1><h3 id=\"x\">b</h3><p id=\"x\" style=\"width:2000px\">c</p>"
          "<a href=\"#gone\">d</a><svg role=\"img\" aria-labelledby=\"gone\"></svg>"
          "<table class=\"stack\"><tr><td>e</td></tr></table><script>console.error('f')</script>",
          390, title, sizeof title, &quiet);
    cr_expect_not(quiet);
    cr_expect_null(strstr(title, "over 0"));
    cr_expect_not_null(strstr(title, "twice 1 lost 1 dead 1 skipped 1 headless 1"), "%s", title);
}

/* The page is written so that an XML parser, too, finds every tag closed. */
/* A phone's first screen has the court of rotation 1; one link leads to the slips. */
Test(report_page, the_first_court_comes_before_the_slips) {
    char *html = report_of(NAMES_SHORT);
    const char *link = strstr(html, "href=\"#slips\""), *main = strstr(html, "<main>");
    const char *court = strstr(html, "<svg"), *slips = strstr(html, "id=\"slips\"");
    cr_assert(link && main && court && slips);
    cr_expect(link < main && main < court && court < slips);
    cr_expect_lt(strstr(html, "id=\"rotation-1\""), court);
    free(html);
}

Test(report_page, every_tag_is_closed) {
    Run which = run_shell("command -v xmllint");
    bool missing = which.exit_status != 0;
    run_free(&which);
    if (missing) {
        cr_skip_test("no xmllint");
    }
    for (int names = 0; names < NAME_SETS; names++) {
        char file[] = "/tmp/sixturn-page-XXXXXX", command[128];
        int handle = mkstemp(file);
        FILE *out = fdopen(handle, "w");
        char *html = report_of(names);
        fputs(html, out);
        fclose(out);
        free(html);
        snprintf(command, sizeof command, "xmllint --noout %s", file);
        Run run = run_shell(command);
        cr_expect_eq(run.exit_status, 0, "%s", run.err);
        run_free(&run);
        unlink(file);
    }
}
