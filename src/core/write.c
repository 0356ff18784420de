/* Writing a result file all at once or not at all. */
#include "core/write.h"

#include "core/text.h"

#include <errno.h>
#include <fcntl.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

enum { TEMPORARY_NAMES = 100, EVERYBODY_MAY_READ_AND_WRITE = 0666 /* less the umask */ };

static SxStatus no_write(const char *file, int reason, SxError *err) {
    sx_text_blame(err, file);
    return sx_fail(err, SX_NO_WRITE, "cannot write: %s", strerror(reason));
}

/* 0, or the reason. */
static int write_all(int descriptor, const char *data, size_t length) {
    while (length > 0) {
        ssize_t wrote = write(descriptor, data, length);
        if (wrote < 0 && errno == EINTR) {
            continue;
        }
        if (wrote < 0) {
            return errno;
        }
        data += wrote;
        length -= (size_t)wrote;
    }
    return 0;
}

static int write_and_close(int descriptor, const char *data, size_t length) {
    int reason = write_all(descriptor, data, length);
    if (close(descriptor) != 0 && reason == 0) {
        reason = errno;
    }
    return reason;
}

/* Opens a new file beside the target; its name goes into temporary. */
static int open_beside(const char *file, char *temporary, size_t size) {
    for (int i = 0; i < TEMPORARY_NAMES; i++) {
        snprintf(temporary, size, "%s.%ld-%d.part", file, (long)getpid(), i);
        int descriptor =
            open(temporary, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, EVERYBODY_MAY_READ_AND_WRITE);
        if (descriptor >= 0 || errno != EEXIST) {
            return descriptor;
        }
    }
    return -1;
}

static SxStatus write_straight(const char *file, const char *data, size_t length, SxError *err) {
    int descriptor = open(file, O_WRONLY | O_CLOEXEC);
    int reason = descriptor < 0 ? errno : write_and_close(descriptor, data, length);
    return reason ? no_write(file, reason, err) : SX_OK;
}

SxStatus sx_write_file(const char *file, const char *data, size_t length, SxError *err) {
    struct stat target;
    bool exists = stat(file, &target) == 0;
    if (exists && S_ISDIR(target.st_mode)) {
        return no_write(file, EISDIR, err);
    }
    if (exists && !S_ISREG(target.st_mode)) {
        return write_straight(file, data, length, err);
    }
    /* A rename would replace it, but the coach has said that it must stay as it is. */
    if (exists && access(file, W_OK) != 0) {
        return no_write(file, errno, err);
    }
    size_t size = strlen(file) + 48; /* room for the process, the counter and the ending */
    char *temporary = malloc(size);
    if (!temporary) {
        return sx_out_of_memory(err);
    }
    int descriptor = open_beside(file, temporary, size);
    int reason = descriptor < 0 ? errno : 0;
    if (descriptor >= 0) {
        if (exists) {
            (void)fchmod(descriptor, target.st_mode & 07777); /* as the coach had set it */
        }
        reason = write_and_close(descriptor, data, length);
        if (reason == 0 && rename(temporary, file) != 0) {
            reason = errno;
        }
        if (reason) {
            unlink(temporary);
        }
    }
    free(temporary);
    return reason ? no_write(file, reason, err) : SX_OK;
}
