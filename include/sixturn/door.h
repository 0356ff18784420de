/* One door to everything: a request in JSON in, an answer in JSON out, for programs that are not
 * written in C (a page, a script language). Nothing is written, and no file is read but one that
 * the team or the plan names itself (rules or a system of the coach's own).
 *
 * The request ("sixturn-request-1"); all but "format" and "question" may be left out:
 * - "question": "plan", "shares", "rank", "absent", "setters", "systems", "versus", "worth",
 * "odds", "fit", "moment", "receive", "check", "mend", "bench", "sheet", "report"; or "read": are
 * team and plan right?
 * or "import": a sheet becomes a team
 * - "team", "plan", "opponent", "rates", "rally_model", "formation_terms": the file as an object,
 * or its text as a string (errors then tell line and column)
 * - "system", "rules": the id of a shipped one, or the file as an object
 * - "formation": for check and mend, a formation file, object or text
 * - "log": for fit, the text of the log
 * - "sides": for versus, two plans or lineups, objects or texts
 * - "sheet": for import, the text of a spreadsheet (CSV, or cells with tabs); it is brought into
 *   "team" if that is given
 * - "swap": for bench, {"out": PLAYER, "in": PLAYER}; "made": those of this set so far, a list;
 *   and of "moment" where it "started"
 * - "moment": for moment, {"score": "14-17", "rotation": 1 to 6, "started",
 *   "serving": "us" or "them", "their_rotation", "used", "deciding", "card", and lists of "OUT:IN":
 *   "consider", "made", "back"}
 * - "options": {"level", "passers", "start": 1 to 6, "balance", "out": [PLAYER, ...], "time_limit",
 *   "goal": "set" or "score", "sets", "top", "doubt", "draws", "seed", "spread": "normal" or
 *   "uniform", "players": [PLAYER, ...], "pairs", "margin", "fewest", "lock": [shirt number, ...],
 *   "strict", for receive "rotation": 1 to 6, "top", "keep", and for sheet and report "phase":
 *   "receive", "serve" or "both", "sets", "set", "brief", "rotation", "cards", "for": PLAYER,
 *   "paper": "a4" or "letter"}, as the command line's options of these names
 * - "want_text": true: the answer as text too
 * - "want_file": true: the file that goes with it too (fit: the rates, mend: the mended formations)
 *
 * The answer ("sixturn-answer-1"):
 * - "status": "done", "no", "usage", "bad-input", "no-write", "internal", "out-of-time",
 * "no-memory", "solver-failed"
 * - "answer": what the command line prints with --json; only if done. For sheet and report that
 *   of plan. For plan without
 *   "sure", because a page plans at every touch; for import {"format":
 *   "sixturn-import-1", "team", "notes": [line, ...], "problems": [{"row", "column", "heading",
 *   "message"}, ...]}, rows and columns from 1, also if it failed; "team" only if done
 * - "text": what it prints without; only if done and wanted
 * - "file": the file's object; only if done and wanted. For sheet and report, wanted or not, a
 *   text: SVG, HTML. A build without drawings refuses both questions ("usage")
 * - "warnings": sentences, if there are any
 * - "error": {"text", "message", "file", "path", "line", "column"}, if not done; the last four only
 *   if known
 *
 * Schemas: datasets/schema/request.json, datasets/schema/answer.json. */
#ifndef SIXTURN_DOOR_H
#define SIXTURN_DOOR_H

#include "sixturn/api.h"
#include "sixturn/work.h"

#include <stddef.h>

SX_C_BEGIN

/* Always answers, whatever the request holds; to be freed with free(). NULL when memory runs out.
 * work (may be NULL): threads, progress, and how to stop; its deadline is overruled by the
 * request's time limit. */
SX_API char *sx_door(const char *request, size_t length, const SxWork *work);

SX_C_END

#endif
