/* One door: a request in JSON becomes a session and a question, its answer becomes JSON. */
#include "sixturn/door.h"

#include "core/jsonread.h"
#include "sixturn/import.h"
#include "sixturn/session.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { MOST_NAMES = SX_MAX_PLAYERS, MOST_TEXTS = 13, MOST_SECONDS = 86400 };

enum { NAMES_OUT, NAMES_PLAYERS, NAMES_CONSIDER, NAMES_MADE, NAMES_BACK, NAME_LISTS };

typedef struct {
    bool read_only; /* "read": no question beyond that */
    bool import;    /* "import": a sheet becomes a team; no session is needed */
    SxSource sheet;
    bool strict;
    bool want_text, want_file;
    SxSessionInput input;
    SxAsk ask;
    char *owned[MOST_TEXTS]; /* texts of members that were objects or strings */
    int owned_count;
    char level[SX_ID_SIZE], system[SX_ID_SIZE], rules[SX_ID_SIZE];
    char score[SX_ID_SIZE], card[SX_ID_SIZE];
    char name[NAME_LISTS][MOST_NAMES][SX_ID_SIZE];
    const char *names[NAME_LISTS][MOST_NAMES];
    char swap[SX_MAX_SWAPS + 1][2][SX_ID_SIZE];
} Request;

static const char *const question_words[SX_QUESTIONS] = {
    [SX_ASK_PLAN] = "plan",       [SX_ASK_SHARES] = "shares",   [SX_ASK_RANK] = "rank",
    [SX_ASK_ABSENT] = "absent",   [SX_ASK_SETTERS] = "setters", [SX_ASK_SYSTEMS] = "systems",
    [SX_ASK_VERSUS] = "versus",   [SX_ASK_WORTH] = "worth",     [SX_ASK_ODDS] = "odds",
    [SX_ASK_FIT] = "fit",         [SX_ASK_CHECK] = "check",     [SX_ASK_MEND] = "mend",
    [SX_ASK_RECEIVE] = "receive", [SX_ASK_BENCH] = "bench",     [SX_ASK_MOMENT] = "moment",
    [SX_ASK_SHEET] = "sheet",     [SX_ASK_REPORT] = "report",
};

/* --- reading ------------------------------------------------------------------------------------
 */

static void read_question(const SxJsonAt *at, Request *request) {
    enum { OTHERS = 2 }; /* questions that are none of a session */
    const char *words[SX_QUESTIONS + OTHERS];
    int asks[SX_QUESTIONS + OTHERS], count = 0;
    for (int k = 0; k < SX_QUESTIONS; k++) {
        if (question_words[k]) {
            asks[count] = k;
            words[count++] = question_words[k];
        }
    }
    const int questions = count;
    words[count++] = "read";
    words[count++] = "import";
    const int chosen = sx_json_word(at, "question", words, count);
    request->read_only = chosen == questions;
    request->import = chosen == questions + 1;
    if (chosen >= 0 && chosen < questions) {
        sx_ask_default((SxQuestion)asks[chosen], &request->ask);
        request->ask.plan.quick = true; /* a page asks at every touch */
        request->ask.sheet.kind = SX_FILE_SVG;
    }
}

/* A file inside the request: printed again if it is an object, as it stands if it is a text. */
static void read_source(const SxJsonAt *at, Request *request, SxSource *source) {
    if (!sx_json_given(at)) {
        return;
    }
    char *text = NULL;
    if (cJSON_IsString(at->item)) {
        text = strdup(at->item->valuestring);
    } else if (cJSON_IsObject(at->item)) {
        text = cJSON_PrintUnformatted(at->item);
    } else {
        sx_json_wrong(at, "a file's object, or its text");
        return;
    }
    if (!text) {
        at->document->status = sx_out_of_memory(at->document->err);
        return;
    }
    request->owned[request->owned_count++] = text;
    *source = (SxSource){text, strlen(text), at->key ? at->key : "sides"};
}

/* A shipped one by its id; files are not read through the door. */
static void read_shipped(const SxJsonAt *at, Request *request, char id[SX_ID_SIZE],
                         SxSource *source) {
    if (sx_json_given(at) && cJSON_IsString(at->item)) {
        sx_json_id(at, id, SX_ID_SIZE);
        source->name = id;
    } else {
        read_source(at, request, source);
    }
}

/* Nothing in a request has to be given but its format and the question. */
static void number_if(const SxJsonAt *at, double low, double high, double *out) {
    if (sx_json_given(at)) {
        sx_json_number(at, low, high, out);
    }
}

static void integer_if(const SxJsonAt *at, int low, int high, int *out) {
    if (sx_json_given(at)) {
        sx_json_integer(at, low, high, out);
    }
}

static void bool_if(const SxJsonAt *at, bool *out) {
    if (sx_json_given(at)) {
        sx_json_bool(at, out);
    }
}

static int read_names(const SxJsonAt *at, char name[MOST_NAMES][SX_ID_SIZE],
                      const char *names[MOST_NAMES]) {
    int count = 0;
    if (!sx_json_given(at) || !sx_json_array(at, 0, MOST_NAMES)) {
        return 0;
    }
    for (SxJsonAt e = sx_json_first(at); e.item; sx_json_next(&e)) {
        if (cJSON_IsNumber(e.item)) {
            int shirt = 0;
            sx_json_integer(&e, 0, SX_MAX_SHIRT, &shirt);
            snprintf(name[count], SX_ID_SIZE, "%d", shirt);
        } else {
            sx_json_text(&e, name[count], SX_ID_SIZE);
        }
        names[count] = name[count];
        count++;
    }
    return count;
}

/* A player by id or shirt number. */
static const char *read_who(const SxJsonAt *at, char name[SX_ID_SIZE]) {
    if (sx_json_given(at) && cJSON_IsNumber(at->item)) {
        int shirt = 0;
        sx_json_integer(at, 0, SX_MAX_SHIRT, &shirt);
        snprintf(name, SX_ID_SIZE, "%d", shirt);
    } else {
        sx_json_text(at, name, SX_ID_SIZE);
    }
    return name;
}

static SxNamedSwap read_swap(const SxJsonAt *at, char name[2][SX_ID_SIZE]) {
    static const char *const keys[] = {"out", "in"};
    SxJsonAt member[2];
    sx_json_members(at, keys, 2, member);
    return (SxNamedSwap){read_who(&member[0], name[0]), read_who(&member[1], name[1])};
}

static void read_bench(const SxJsonAt *swap, const SxJsonAt *made, Request *request) {
    SxBenchAsk *bench = &request->ask.bench;
    if (sx_json_given(swap)) {
        bench->swap = read_swap(swap, request->swap[SX_MAX_SWAPS]);
    }
    if (!sx_json_given(made) || !sx_json_array(made, 0, SX_MAX_SWAPS)) {
        return;
    }
    for (SxJsonAt e = sx_json_first(made); e.item; sx_json_next(&e)) {
        bench->made[bench->made_count] = read_swap(&e, request->swap[bench->made_count]);
        bench->made_count++;
    }
}

static void read_doubt(const SxJsonAt *doubt, const SxJsonAt *draws, const SxJsonAt *seed,
                       const SxJsonAt *spread, SxDoubtOptions *out) {
    enum { MOST_DRAWS = 1000000, MOST_SEED = 2000000000 };
    static const char *const laws[] = {"normal", "uniform"};
    number_if(doubt, 0, SX_SKILL_MAX, &out->size);
    integer_if(draws, 1, MOST_DRAWS, &out->draws);
    int number = (int)out->seed;
    integer_if(seed, 0, MOST_SEED, &number);
    out->seed = (uint64_t)number;
    if (sx_json_given(spread)) {
        out->spread =
            sx_json_word(spread, "spread", laws, 2) == 1 ? SX_SPREAD_UNIFORM : SX_SPREAD_NORMAL;
    }
}

static void read_locks(const SxJsonAt *at, SxDrawnAsk *drawn) {
    if (!sx_json_given(at) || !sx_json_array(at, 0, SX_MAX_LOCKS)) {
        return;
    }
    for (SxJsonAt e = sx_json_first(at); e.item; sx_json_next(&e)) {
        sx_json_integer(&e, 0, SX_MAX_SHIRT, &drawn->locks[drawn->lock_count]);
        drawn->lock_count++;
    }
}

static void read_goal(const SxJsonAt *at, SxSessionInput *input) {
    static const char *const goals[] = {"set", "score"};
    if (sx_json_given(at)) {
        input->goal = sx_json_word(at, "goal", goals, 2) == 1 ? SX_GOAL_SCORE : SX_GOAL_SETS;
    }
}

static void read_exchanges(const SxJsonAt *at, Request *request, int list, SxExchangeNames *names) {
    names->item = request->names[list];
    names->count = read_names(at, request->name[list], request->names[list]);
}

static void read_rotation(const SxJsonAt *at, int *rotation) {
    int number = 0;
    integer_if(at, 1, SX_ROTATIONS, &number);
    if (number > 0) {
        *rotation = number - 1;
    }
}

/* How a set stands, for the question of the moment. */
static void read_moment(const SxJsonAt *at, Request *request) {
    enum {
        SCORE,
        ROTATION,
        STARTED,
        SERVING,
        THEIRS,
        USED,
        DECIDING,
        CONSIDER,
        MADE,
        BACK,
        CARD,
        FIELDS
    };
    static const char *const keys[FIELDS] = {"score",          "rotation", "started",  "serving",
                                             "their_rotation", "used",     "deciding", "consider",
                                             "made",           "back",     "card"};
    static const char *const servers[] = {"us", "them"};
    SxJsonAt member[FIELDS];
    SxMomentAsk *ask = &request->ask.moment;
    if (!sx_json_given(at)) {
        return;
    }
    sx_json_members(at, keys, FIELDS, member);
    if (sx_json_given(&member[SCORE])) {
        sx_json_text(&member[SCORE], request->score, sizeof request->score);
        ask->score = request->score;
    }
    read_rotation(&member[ROTATION], &ask->rotation);
    read_rotation(&member[STARTED], &ask->started);
    read_rotation(&member[THEIRS], &ask->their_rotation);
    if (sx_json_given(&member[SERVING])) {
        ask->serving =
            sx_json_word(&member[SERVING], "side", servers, 2) == 0 ? SX_SERVE : SX_RECEIVE;
    }
    integer_if(&member[USED], 0, SX_MOST_SUBSTITUTIONS, &ask->used);
    bool_if(&member[DECIDING], &ask->deciding);
    bool_if(&member[CARD], &ask->card);
    read_exchanges(&member[CONSIDER], request, NAMES_CONSIDER, &ask->consider);
    read_exchanges(&member[MADE], request, NAMES_MADE, &ask->made);
    read_exchanges(&member[BACK], request, NAMES_BACK, &ask->back);
}

/* What sheet and report show. */
static void read_drawing(const SxJsonAt *phase, const SxJsonAt *paper, const SxJsonAt *card,
                         Request *request) {
    static const char *const shows[] = {
        [SX_SHOW_RECEIVE] = "receive", [SX_SHOW_SERVE] = "serve", [SX_SHOW_BOTH] = "both"};
    static const char *const papers[] = {[SX_PAPER_A4] = "a4", [SX_PAPER_LETTER] = "letter"};
    SxSheetAsk *sheet = &request->ask.sheet;
    const int show = sx_json_given(phase) ? sx_json_word(phase, "phase", shows, 3) : -1;
    if (show >= 0) {
        sheet->show = request->ask.report.show = (SxShow)show;
    }
    const int size = sx_json_given(paper) ? sx_json_word(paper, "paper", papers, 2) : -1;
    if (size >= 0) {
        sheet->paper = (SxPaper)size;
    }
    if (sx_json_given(card)) {
        sheet->player = read_who(card, request->card);
    }
}

static void read_options(const SxJsonAt *at, Request *request) {
    enum {
        LEVEL,
        PASSERS,
        START,
        BALANCE,
        OUT,
        TIME_LIMIT,
        GOAL,
        SETS,
        TOP,
        DOUBT,
        DRAWS,
        SEED,
        SPREAD,
        PLAYERS,
        PAIRS,
        MARGIN,
        FEWEST,
        LOCK,
        STRICT,
        ROTATION,
        KEEP,
        PHASE,
        PAPER,
        FOR,
        CARDS,
        SET,
        BRIEF,
        FIELDS
    };
    static const char *const keys[FIELDS] = {
        "level", "passers", "start",  "balance", "out",    "time_limit", "goal",
        "sets",  "top",     "doubt",  "draws",   "seed",   "spread",     "players",
        "pairs", "margin",  "fewest", "lock",    "strict", "rotation",   "keep",
        "phase", "paper",   "for",    "cards",   "set",    "brief"};
    SxJsonAt member[FIELDS];
    if (!sx_json_given(at)) {
        return;
    }
    SxSessionInput *input = &request->input;
    SxAsk *ask = &request->ask;
    int start = 0;
    sx_json_members(at, keys, FIELDS, member);
    if (sx_json_given(&member[LEVEL])) {
        sx_json_id(&member[LEVEL], request->level, sizeof request->level);
        input->level = request->level;
    }
    integer_if(&member[PASSERS], SX_MIN_PASSERS, SX_MAX_PASSERS, &input->passers);
    integer_if(&member[START], 1, SX_ROTATIONS, &start);
    input->start = start - 1;
    number_if(&member[BALANCE], 0, 1, &input->balance);
    number_if(&member[TIME_LIMIT], 0, MOST_SECONDS, &input->time_limit);
    input->out = request->names[NAMES_OUT];
    input->out_count =
        read_names(&member[OUT], request->name[NAMES_OUT], request->names[NAMES_OUT]);
    read_goal(&member[GOAL], input);
    integer_if(&member[SETS], 1, SX_MAX_SHARED_SETS, &ask->shares.sets);
    integer_if(&member[SETS], 1, SX_MAX_SHARED_SETS, &ask->sheet.sets);
    integer_if(&member[SET], 1, SX_MAX_SHARED_SETS, &ask->sheet.set);
    ask->report.sets = ask->sheet.sets;
    ask->report.set = ask->sheet.set;
    integer_if(&member[TOP], 1, SX_MAX_TOP, &ask->rank.top);
    integer_if(&member[TOP], 1, SX_MAX_TOP, &ask->receive.top);
    read_rotation(&member[ROTATION], &ask->receive.rotation);
    integer_if(&member[ROTATION], 1, SX_ROTATIONS, &ask->sheet.rotation);
    read_drawing(&member[PHASE], &member[PAPER], &member[FOR], request);
    bool_if(&member[CARDS], &ask->sheet.cards);
    bool_if(&member[BRIEF], &ask->report.brief);
    integer_if(&member[KEEP], 1, SX_MAX_ALTERNATIVES, &ask->receive.keep);
    read_doubt(&member[DOUBT], &member[DRAWS], &member[SEED], &member[SPREAD], &ask->rank.doubt);
    ask->absent.players = ask->worth.players = request->names[NAMES_PLAYERS];
    ask->absent.count = ask->worth.count =
        read_names(&member[PLAYERS], request->name[NAMES_PLAYERS], request->names[NAMES_PLAYERS]);
    bool_if(&member[PAIRS], &ask->absent.pairs);
    number_if(&member[MARGIN], 0, SX_COURT_WIDTH, &ask->drawn.margin);
    bool_if(&member[FEWEST], &ask->drawn.fewest);
    read_locks(&member[LOCK], &ask->drawn);
    bool_if(&member[STRICT], &request->strict);
}

static void read_sides(const SxJsonAt *at, Request *request) {
    int k = 0;
    if (!sx_json_given(at) || !sx_json_array(at, 2, 2)) {
        return;
    }
    for (SxJsonAt e = sx_json_first(at); e.item; sx_json_next(&e)) {
        read_source(&e, request, &request->ask.versus.side[k++]);
    }
}

static void read_members(const SxJsonAt *root, Request *request) {
    enum {
        FORMAT,
        QUESTION,
        TEAM,
        PLAN,
        SYSTEM,
        RULES,
        OPPONENT,
        RATES,
        RALLY_MODEL,
        FORMATION_TERMS,
        FORMATION,
        LOG,
        SIDES,
        OPTIONS,
        WANT_TEXT,
        WANT_FILE,
        SHEET,
        SWAP,
        MADE,
        MOMENT,
        FIELDS
    };
    static const char *const keys[FIELDS] = {
        "format",    "question", "team",  "plan",        "system",
        "rules",     "opponent", "rates", "rally_model", "formation_terms",
        "formation", "log",      "sides", "options",     "want_text",
        "want_file", "sheet",    "swap",  "made",        "moment"};
    SxJsonAt member[FIELDS];
    SxSessionInput *input = &request->input;
    sx_session_input_default(input);
    sx_ask_default(SX_ASK_PLAN, &request->ask);
    sx_json_members(root, keys, FIELDS, member);
    read_question(&member[QUESTION], request);
    read_source(&member[TEAM], request, &input->team);
    read_source(&member[PLAN], request, &input->plan);
    read_shipped(&member[SYSTEM], request, request->system, &input->system);
    read_shipped(&member[RULES], request, request->rules, &input->rules);
    read_source(&member[OPPONENT], request, &input->opponent);
    read_source(&member[RATES], request, &input->rates);
    read_source(&member[RALLY_MODEL], request, &input->rally_model);
    read_source(&member[FORMATION_TERMS], request, &input->formation_terms);
    read_source(&member[FORMATION], request, &request->ask.drawn.formations);
    SxDay *day = request->ask.question == SX_ASK_FIT ? &request->ask.fit.day : &input->day;
    read_source(&member[LOG], request, &day->log);
    read_moment(&member[MOMENT], request);
    read_sides(&member[SIDES], request);
    read_source(&member[SHEET], request, &request->sheet);
    read_bench(&member[SWAP], &member[MADE], request);
    request->ask.bench.started = request->ask.moment.started;
    read_options(&member[OPTIONS], request);
    bool_if(&member[WANT_TEXT], &request->want_text);
    bool_if(&member[WANT_FILE], &request->want_file);
}

/* In place, since the input points into the request. */
static SxStatus read_request(const char *text, size_t length, Request *request, SxError *err) {
    SxJson document;
    sx_json_open(&document, text, length, "request", err);
    SxJsonAt root = sx_json_root(&document);
    sx_json_format(&root, "sixturn-request-1");
    read_members(&root, request);
    sx_json_close(&document);
    return document.status;
}

/* --- answering ----------------------------------------------------------------------------------
 */

static const char *status_word(SxStatus status) {
    static const char *const words[] = {[SX_OK] = "done",
                                        [SX_NO] = "no",
                                        [SX_USAGE] = "usage",
                                        [SX_BAD_INPUT] = "bad-input",
                                        [SX_NO_WRITE] = "no-write",
                                        [SX_INTERNAL] = "internal",
                                        [SX_OUT_OF_TIME] = "out-of-time",
                                        [SX_NO_MEMORY] = "no-memory",
                                        [SX_SOLVER_FAILED] = "solver-failed"};
    return words[status];
}

static bool add_error(cJSON *root, const SxError *err) {
    char text[sizeof *err + 64];
    cJSON *error = cJSON_AddObjectToObject(root, "error");
    bool kept = cJSON_AddStringToObject(error, "text", sx_error_text(err, text, sizeof text)) &&
                cJSON_AddStringToObject(error, "message", err->message);
    if (err->file[0]) {
        kept = kept && cJSON_AddStringToObject(error, "file", err->file);
    }
    if (err->path[0]) {
        kept = kept && cJSON_AddStringToObject(error, "path", err->path);
    }
    if (err->line > 0) {
        kept = kept && cJSON_AddNumberToObject(error, "line", err->line) &&
               cJSON_AddNumberToObject(error, "column", err->column);
    }
    return kept;
}

static bool add_warnings(cJSON *root, const SxSession *session) {
    char text[SX_ERROR_MESSAGE];
    cJSON *list = NULL;
    for (int k = 0; sx_session_warning(session, k, text, sizeof text); k++) {
        list = list ? list : cJSON_AddArrayToObject(root, "warnings");
        if (!list || !cJSON_AddItemToArray(list, cJSON_CreateString(text))) {
            return false;
        }
    }
    return true;
}

static bool is_drawn(SxQuestion question) {
    return question == SX_ASK_SHEET || question == SX_ASK_REPORT;
}

/* The file that goes with the answer: rates, a plan, mended formations are JSON already; SVG and
 * HTML go in as texts. */
static SxStatus add_file(cJSON *root, const SxAnswer *answer, SxError *err) {
    char *bytes = NULL;
    size_t size = 0;
    SxStatus status = sx_answer_file(answer, &bytes, &size, err);
    char *text = status == SX_OK ? strndup(bytes, size) : NULL;
    if (status == SX_OK &&
        !(text && (is_drawn(answer->question) ? cJSON_AddStringToObject(root, "file", text)
                                              : cJSON_AddRawToObject(root, "file", text)))) {
        status = sx_out_of_memory(err);
    }
    free(text);
    free(bytes);
    return status;
}

/* The answer's own text goes in as it is: it is JSON already. */
static bool add_answer(cJSON *root, const SxAnswer *answer, bool want_text) {
    char *json = sx_answer_json(answer);
    bool kept = json && cJSON_AddRawToObject(root, "answer", json);
    free(json);
    if (kept && want_text) {
        char *text = sx_answer_text(answer);
        kept = text && cJSON_AddStringToObject(root, "text", text);
        free(text);
    }
    return kept;
}

static bool add_lines(cJSON *root, const char *key, const char *text) {
    cJSON *list = cJSON_AddArrayToObject(root, key);
    while (list && text && *text) {
        char line[SX_ERROR_MESSAGE];
        const size_t length = strcspn(text, "\n");
        snprintf(line, sizeof line, "%.*s", (int)length, text);
        if (!cJSON_AddItemToArray(list, cJSON_CreateString(line))) {
            return false;
        }
        text += length + (text[length] == '\n');
    }
    return list != NULL;
}

static bool add_problem(cJSON *list, const SxSheetProblem *problem) {
    cJSON *item = cJSON_CreateObject();
    if (!item || !cJSON_AddItemToArray(list, item)) {
        cJSON_Delete(item);
        return false;
    }
    return (problem->row == 0 || cJSON_AddNumberToObject(item, "row", problem->row)) &&
           (problem->column < 0 || cJSON_AddNumberToObject(item, "column", problem->column + 1)) &&
           (!problem->heading[0] || cJSON_AddStringToObject(item, "heading", problem->heading)) &&
           cJSON_AddStringToObject(item, "message", problem->message);
}

static bool add_imported(cJSON *root, const SxImported *made) {
    cJSON *answer = cJSON_AddObjectToObject(root, "answer");
    bool kept = answer && cJSON_AddStringToObject(answer, "format", "sixturn-import-1") &&
                add_lines(answer, "notes", made->notes);
    cJSON *problems = kept ? cJSON_AddArrayToObject(answer, "problems") : NULL;
    kept = problems != NULL;
    for (int k = 0; kept && k < made->problem_count; k++) {
        kept = add_problem(problems, &made->problem[k]);
    }
    return kept && (!made->json || cJSON_AddRawToObject(answer, "team", made->json));
}

/* The one answer that is there with an error too: it says all that is wrong. */
static SxStatus answer_import(const Request *request, cJSON *root, SxError *err) {
    if (!request->sheet.text) {
        return sx_fail(err, SX_USAGE, "a sheet is needed");
    }
    const SxImportOptions options = {.strict = request->strict,
                                     .into = request->input.team.text,
                                     .into_length = request->input.team.length,
                                     .into_file = "team"};
    SxImported made;
    SxStatus status =
        sx_import_roster(request->sheet.text, request->sheet.length, "sheet", &options, &made, err);
    if (!add_imported(root, &made)) {
        status = sx_out_of_memory(err);
    }
    sx_imported_free(&made);
    return status;
}

/* SX_NO_MEMORY also if the answer could not be put into the tree. */
static SxStatus answer_request(const Request *request, cJSON *root, SxError *err) {
    SxSession *session = NULL;
    SxAnswer *answer = NULL;
    SxStatus status = sx_session_new(&request->input, &session, err);
    if (status == SX_OK && !add_warnings(root, session)) {
        status = sx_out_of_memory(err);
    }
    if (status == SX_OK && !request->read_only) {
        status = sx_session_ask(session, &request->ask, &answer, err);
    }
    if (status == SX_OK && answer && (request->want_file || is_drawn(answer->question))) {
        status = add_file(root, answer, err);
    }
    if (status == SX_OK && answer && !add_answer(root, answer, request->want_text)) {
        status = sx_out_of_memory(err);
    }
    sx_answer_free(answer);
    sx_session_free(session);
    return status;
}

char *sx_door(const char *text, size_t length, const SxWork *work) {
    SxError err = {.status = SX_OK};
    Request *request = calloc(1, sizeof *request);
    cJSON *root = cJSON_CreateObject();
    char *out = NULL;
    if (request && root && cJSON_AddStringToObject(root, "format", "sixturn-answer-1")) {
        SxStatus status = read_request(text, length, request, &err);
        if (status == SX_OK) {
            err = (SxError){.status = SX_OK};
            if (work) {
                request->input.work = *work;
            }
            status = (request->import ? answer_import : answer_request)(request, root, &err);
        }
        if (cJSON_AddStringToObject(root, "status", status_word(status)) &&
            (status == SX_OK || add_error(root, &err))) {
            out = cJSON_PrintUnformatted(root);
        }
    }
    for (int k = 0; request && k < request->owned_count; k++) {
        free(request->owned[k]);
    }
    free(request);
    cJSON_Delete(root);
    return out;
}
