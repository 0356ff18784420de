/* Errors as values: every function that can fail returns a status and fills an SxError. */
#ifndef SIXTURN_ERROR_H
#define SIXTURN_ERROR_H

#include "sixturn/api.h"

#include <stdbool.h>
#include <stddef.h>

SX_C_BEGIN

/* The numbers up to SX_OUT_OF_TIME are also the exit statuses of the command line. */
typedef enum {
    SX_OK = 0,           /* done */
    SX_NO = 1,           /* the answer is 'no': infeasible plan, positional fault */
    SX_USAGE = 2,        /* the caller asked for something that does not exist */
    SX_BAD_INPUT = 3,    /* a file cannot be read or breaks its format */
    SX_NO_WRITE = 4,     /* a result cannot be written */
    SX_INTERNAL = 5,     /* a bug: two of our own computations disagree */
    SX_OUT_OF_TIME = 6,  /* the time limit came before there was any answer */
    SX_NO_MEMORY = 7,    /* an allocation failed */
    SX_SOLVER_FAILED = 8 /* the solver gave up on a program without saying why not */
} SxStatus;

/* The exit status of a program that ends with this status: 0 to 6; memory and solver failures are
 * 5, like a bug. */
SX_API int sx_exit_status(SxStatus status);
/* Neither done nor an answer of 'no'. */
SX_API bool sx_is_failure(SxStatus status);

enum { SX_ERROR_FILE = 512, SX_ERROR_PATH = 256, SX_ERROR_MESSAGE = 2048 };

typedef struct {
    SxStatus status;
    char file[SX_ERROR_FILE];       /* empty when no file is concerned */
    char path[SX_ERROR_PATH];       /* inside the file, like players[3].skills.passing; or empty */
    int line, column;               /* 1-based, 0 when unknown */
    char message[SX_ERROR_MESSAGE]; /* what was found and what is allowed; may hold newlines */
} SxError;

/* Fills err (which may be NULL) and returns status, so that callers write
 * `return sx_fail(err, SX_BAD_INPUT, "...")`. File and path are left as they are. */
SX_API SxStatus sx_fail(SxError *err, SxStatus status, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Fills err with 'out of memory' and returns SX_NO_MEMORY. */
SX_API SxStatus sx_out_of_memory(SxError *err);

/* Writes 'file:line:column: path: message' (parts that are unknown left out) into text and returns
 * text. Control characters and broken UTF-8 that came from a file are visible escapes: \x1b. */
SX_API char *sx_error_text(const SxError *err, char *text, size_t size);

SX_C_END

#endif
