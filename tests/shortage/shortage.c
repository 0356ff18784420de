/* Preloaded into the program: makes every allocation fail, one place in the program at a time.
 *
 * Whenever the program asks for memory on a way (the whole stack of calls) that it has not come
 * before, two children are forked that go on from there: in the first this one allocation fails, in
 * the second it and all that follow. Each child runs to its end, its output kept apart; then the
 * parent notes how it ended and goes on as if nothing had been. So one run of the program tries
 * them all. Threads of the program's own cannot be started, which it must live with too.
 *
 * SHORTAGE_REPORT   file for the notes, one line an end (see note()); without it nothing happens
 * SHORTAGE_FOLDER   folder in which the program writes; what a child leaves is counted and removed
 * SHORTAGE_SPARE    libraries whose own allocations do not fail and are no leaks, separated by ':'
 * SHORTAGE_LOSERS   libraries that are known to lose a block which they fail to make larger
 * SHORTAGE_STACKS   also write where the allocation was, for looking into a finding
 *
 * Made for glibc, whose own allocator stays reachable as __libc_malloc and so on. */
#define _GNU_SOURCE
#include <dirent.h>
#include <dlfcn.h>
#include <errno.h>
#include <execinfo.h>
#include <fcntl.h>
#include <pthread.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>
#include <unwind.h>

int __libc_start_main(int (*main)(int, char **, char **), int count, char **words,
                      void (*start)(void), void (*end)(void), void (*loader_end)(void),
                      void *stack);
void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *old, size_t size);
void __libc_free(void *block);

enum {
    DEPTH = 48,            /* calls of a stack that tell one way from another */
    LIVE_SLOTS = 1 << 13,  /* blocks at a time */
    SEEN_SLOTS = 1 << 16,  /* ways */
    KNOWN_SLOTS = 1 << 10, /* stacks */
    MOST_LEAKS = 32,       /* ways of leaked blocks told for one end */
    CHILD_SECONDS = 60,    /* a child that takes longer hangs */
    MOST_FILES = 64,       /* open at a time */
    WORDS = 400            /* of the child's standard error */
};

#define FNV_BASIS 0xcbf29ce484222325u
#define FNV_PRIME 0x100000001b3u

typedef enum { ONE, ALL, MODES } Mode;

typedef struct {
    void *block;
    uint64_t way;
} Live;

/* A stack as it was found by unwinding: the calls, from that of the allocation outwards, and where
 * on the stack each lies. */
typedef struct {
    const void *caller, *frame; /* of the allocation */
    void *call[DEPTH];
    void *const *place[DEPTH];
    int depth;
    bool whole; /* every call lies where it should */
    uint64_t way;
} Stack;

/* What a child tells its parent. */
typedef struct {
    int leaks;
    uint64_t way[MOST_LEAKS];
} Last;

static Live *live;
static uint64_t *seen;
static Last *last;
static Stack *known, latest;
static int report = -1;
static bool active, child, all_fail, inside, ending;
static int child_out, child_err, exit_status;
static const char *spare;
static size_t live_count;

static uint64_t mixed(uint64_t hash, uint64_t value) {
    hash ^= value;
    hash *= 0x9e3779b97f4a7c15u; /* 2^64 over the golden ratio */
    return hash ^ hash >> 29;
}

static size_t home(const void *block) {
    return mixed(1, (uintptr_t)block) % LIVE_SLOTS;
}

/* Where the block is, or where it would go. */
static size_t place_of(const void *block) {
    size_t at = home(block);
    while (live[at].block && live[at].block != block) {
        at = (at + 1) % LIVE_SLOTS;
    }
    return at;
}

/* Is the caller in one of the libraries? */
static bool is_in(const char *list, const void *caller) {
    Dl_info info;
    if (!list || !*list || !dladdr(caller, &info) || !info.dli_fname) {
        return false;
    }
    for (const char *name = list; *name;) {
        size_t length = strcspn(name, ":");
        for (const char *at = info.dli_fname; length > 0 && *at; at++) {
            if (strncmp(at, name, length) == 0) {
                return true;
            }
        }
        name += length + (name[length] == ':');
    }
    return false;
}

static void enter(void *block, uint64_t way, const void *caller) {
    if (block && live && !inside && !is_in(spare, caller)) {
        if (++live_count == LIVE_SLOTS - 1) {
            abort(); /* the table is too small */
        }
        live[place_of(block)] = (Live){block, way};
    }
}

/* Takes the block out and closes the gap in the chain of probes. */
static void leave(const void *block) {
    size_t gap = block && live ? place_of(block) : LIVE_SLOTS;
    if (gap == LIVE_SLOTS || !live[gap].block) {
        return;
    }
    live_count--;
    for (size_t at = (gap + 1) % LIVE_SLOTS; live[at].block; at = (at + 1) % LIVE_SLOTS) {
        if ((at - home(live[at].block)) % LIVE_SLOTS >= (at - gap) % LIVE_SLOTS) {
            live[gap] = live[at];
            gap = at;
        }
    }
    live[gap].block = NULL;
}

/* Do the calls from this one outwards lie where they lay? */
static bool lie_there_still(const Stack *stack, int from) {
    for (int k = from; k < stack->depth; k++) {
        if (*stack->place[k] != stack->call[k]) {
            return false;
        }
    }
    return stack->whole;
}

/* Goes on as the stack unwound before did from the same call at the same place, if there is one. */
static bool join(Stack *stack, const Stack *before, const void *call, void *const *place) {
    int at = 0;
    while (at < before->depth && before->place[at] < place) {
        at++;
    }
    if (at == before->depth || before->depth == DEPTH || before->place[at] != place ||
        before->call[at] != call || stack->depth + before->depth - at > DEPTH ||
        !lie_there_still(before, at)) {
        return false;
    }
    for (; at < before->depth; at++) {
        stack->place[stack->depth] = before->place[at];
        stack->call[stack->depth++] = before->call[at];
    }
    return true;
}

static _Unwind_Reason_Code note_call(struct _Unwind_Context *context, void *to) {
    Stack *stack = to;
    void *call = (void *)_Unwind_GetIP(context);
    if (!call || stack->depth == DEPTH) {
        return _URC_END_OF_STACK;
    }
    if (stack->depth > 0 || call == stack->caller) {
        void *const *place = (void *const *)_Unwind_GetCFA(context) - 1;
        if (join(stack, &latest, call, place)) {
            return _URC_END_OF_STACK;
        }
        stack->whole = stack->whole && *place == call;
        stack->place[stack->depth] = place;
        stack->call[stack->depth++] = call;
    }
    return _URC_NO_REASON;
}

/* The way by which the program came to an allocation. Unwinding takes long: the same call from the
 * same place with the same calls at the same places outwards is the same stack. */
static const Stack *stack_here(const void *caller, const void *frame) {
    Stack *stack = &known[mixed(mixed(1, (uintptr_t)caller), (uintptr_t)frame) % KNOWN_SLOTS];
    if (stack->caller == caller && stack->frame == frame && lie_there_still(stack, 0)) {
        return stack;
    }
    *stack = (Stack){.caller = caller, .frame = frame, .whole = true};
    _Unwind_Backtrace(note_call, stack);
    uint64_t hash = 1;
    for (int k = 0; k < stack->depth; k++) {
        hash = mixed(hash, (uintptr_t)stack->call[k]);
    }
    stack->way = hash ? hash : 1;
    latest = *stack;
    return stack;
}

static bool is_new(uint64_t way) {
    size_t at = way % SEEN_SLOTS;
    while (seen[at] && seen[at] != way) {
        at = (at + 1) % SEEN_SLOTS;
    }
    bool fresh = seen[at] == 0;
    seen[at] = way;
    return fresh;
}

/* FNV-1a, 64 bits (Fowler, Noll, Vo), carried on from the hash of what came before. */
static uint64_t hash_of_file(int file, uint64_t hash, size_t *length) {
    unsigned char buffer[4096];
    *length = 0;
    lseek(file, 0, SEEK_SET);
    for (ssize_t got; (got = read(file, buffer, sizeof buffer)) > 0;) {
        for (ssize_t k = 0; k < got; k++) {
            hash = (hash ^ buffer[k]) * FNV_PRIME;
        }
        *length += (size_t)got;
    }
    return hash;
}

/* Counts the files in the folder, hashes their contents and, for a child, removes them. */
static int files_left(bool clean, uint64_t *hash) {
    const char *folder = getenv("SHORTAGE_FOLDER");
    DIR *entries = folder ? opendir(folder) : NULL;
    int count = 0;
    *hash = FNV_BASIS;
    for (struct dirent *entry; entries && (entry = readdir(entries));) {
        char path[1024];
        if (entry->d_name[0] == '.') {
            continue;
        }
        snprintf(path, sizeof path, "%s/%s", folder, entry->d_name);
        int file = open(path, O_RDONLY | O_CLOEXEC);
        size_t length = 0;
        if (file >= 0) {
            *hash = hash_of_file(file, *hash, &length);
            close(file);
        }
        count++;
        if (clean) {
            unlink(path);
        }
    }
    if (entries) {
        closedir(entries);
    }
    return count;
}

/* Live blocks by way, each way once. */
static void list_leaks(Last *out) {
    out->leaks = 0;
    for (size_t at = 0; at < LIVE_SLOTS && out->leaks < MOST_LEAKS; at++) {
        bool told = !live[at].block;
        for (int k = 0; k < out->leaks && !told; k++) {
            told = out->way[k] == live[at].way;
        }
        if (!told) {
            out->way[out->leaks++] = live[at].way;
        }
    }
}

/* KIND NUMBER STATUS OUTPUT-LENGTH OUTPUT-HASH FILES FILES-HASH LEAKS [WAY...] | STANDARD ERROR
 * KIND: one, all, or end for the run in which nothing failed. STATUS: the exit status, or minus
 * the number of the signal. */
static void note(const char *kind, int number, int status, size_t length, uint64_t hash, int files,
                 uint64_t files_hash, const char *words) {
    char line[WORDS + 1024];
    int used = snprintf(line, sizeof line, "%s %d %d %zu %016lx %d %016lx %d", kind, number, status,
                        length, (unsigned long)hash, files, (unsigned long)files_hash, last->leaks);
    for (int k = 0; k < last->leaks; k++) {
        used += snprintf(line + used, sizeof line - (size_t)used, " %016lx",
                         (unsigned long)last->way[k]);
    }
    used += snprintf(line + used, sizeof line - (size_t)used, " | %s", words);
    for (int k = 0; k < used; k++) {
        line[k] = line[k] == '\n' ? '~' : line[k];
    }
    line[used++] = '\n';
    if (write(report, line, (size_t)used) != used) {
        _exit(99);
    }
}

static void judge(Mode mode, int number, int status, bool clean) {
    char words[WORDS + 1] = "";
    size_t length = 0;
    uint64_t files_hash;
    uint64_t hash = hash_of_file(child_out, FNV_BASIS, &length);
    ssize_t got = pread(child_err, words, WORDS, 0);
    words[got > 0 ? got : 0] = '\0';
    int files = files_left(clean, &files_hash);
    note(mode == ONE ? "one" : "all", number,
         WIFEXITED(status) ? WEXITSTATUS(status) : -WTERMSIG(status), length, hash, files,
         files_hash, words);
}

/* Gives the child positions of its own in the files that are open. */
static void part_positions(void) {
    for (int file = STDERR_FILENO + 1; file < MOST_FILES; file++) {
        char path[64];
        struct stat kind;
        int flags = fcntl(file, F_GETFL);
        if (flags < 0 || file == report || file == child_out || file == child_err ||
            fstat(file, &kind) || !S_ISREG(kind.st_mode)) {
            continue;
        }
        snprintf(path, sizeof path, "/proc/self/fd/%d", file);
        int again = open(path, flags | O_CLOEXEC);
        if (again >= 0) {
            lseek(again, lseek(file, 0, SEEK_CUR), SEEK_SET);
            dup2(again, file);
            close(again);
        }
    }
}

/* What comes after the program's own end, such as a count of the branches it took, gets its memory.
 */
static void pass_the_rest(int status, void *unused) {
    (void)unused;
    ending = true;
    exit_status = status;
}

/* True in the child in which the allocation must fail. */
static bool fork_children(const Stack *stack) {
    static int number;
    uint64_t files_hash;
    bool clean = files_left(false, &files_hash) == 0; /* what is there is not the children's */
    number++;
    if (getenv("SHORTAGE_STACKS")) {
        dprintf(report, "stack %d\n", number);
        backtrace_symbols_fd(stack->call, stack->depth, report);
    }
    for (Mode mode = ONE; mode < MODES; mode++) {
        if (ftruncate(child_out, 0) || ftruncate(child_err, 0)) {
            _exit(99);
        }
        *last = (Last){.leaks = 0};
        pid_t pid = fork();
        if (pid == 0) {
            child = true;
            all_fail = mode == ALL;
            part_positions();
            lseek(child_out, 0, SEEK_SET);
            lseek(child_err, 0, SEEK_SET);
            dup2(child_out, STDOUT_FILENO);
            dup2(child_err, STDERR_FILENO);
            alarm(CHILD_SECONDS);
            return true;
        }
        int status = 0;
        while (pid > 0 && waitpid(pid, &status, 0) < 0 && errno == EINTR) {
        }
        judge(mode, number, status, clean);
    }
    return false;
}

/* Does this allocation fail? *way is how the program came here. */
static bool fails(uint64_t *way, const void *caller, const void *frame) {
    *way = 1;
    if (!active || inside || ending) {
        return false;
    }
    inside = true;
    bool answer = all_fail && !is_in(spare, caller);
    if (!answer) {
        const Stack *stack = stack_here(caller, frame);
        *way = stack->way;
        if (!child && is_new(*way) && !is_in(spare, caller)) {
            answer = fork_children(stack);
        }
    }
    inside = false;
    if (answer) {
        errno = ENOMEM;
    }
    return answer;
}

void *malloc(size_t size) {
    uint64_t way;
    if (fails(&way, __builtin_return_address(0), __builtin_frame_address(0))) {
        return NULL;
    }
    void *block = __libc_malloc(size);
    enter(block, way, __builtin_return_address(0));
    return block;
}

void *calloc(size_t count, size_t size) {
    uint64_t way;
    if (fails(&way, __builtin_return_address(0), __builtin_frame_address(0))) {
        return NULL;
    }
    void *block = __libc_calloc(count, size);
    enter(block, way, __builtin_return_address(0));
    return block;
}

void *realloc(void *old, size_t size) {
    uint64_t way;
    if (fails(&way, __builtin_return_address(0), __builtin_frame_address(0))) {
        if (is_in(getenv("SHORTAGE_LOSERS"), __builtin_return_address(0))) {
            leave(old);
        }
        return NULL;
    }
    leave(old);
    void *block = __libc_realloc(old, size);
    enter(block, way, __builtin_return_address(0));
    return block;
}

void free(void *block) {
    leave(block);
    __libc_free(block);
}

int pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*start)(void *),
                   void *argument) {
    static int (*real)(pthread_t *, const pthread_attr_t *, void *(*)(void *), void *);
    if (active && !is_in(spare, __builtin_return_address(0))) {
        return EAGAIN;
    }
    if (!real) {
        *(void **)&real = dlsym(RTLD_NEXT, "pthread_create"); /* as POSIX writes it */
    }
    return real(thread, attributes, start, argument);
}

static void *shared(size_t size, int how) {
    void *area =
        mmap(NULL, size, PROT_READ | PROT_WRITE, how | MAP_ANONYMOUS | MAP_NORESERVE, -1, 0);
    return area == MAP_FAILED ? NULL : area;
}

typedef int Main(int, char **, char **);

static Main *program;

/* What is registered from here on comes before the end of the libraries. */
static int run_program(int count, char **words, char **environment) {
    on_exit(pass_the_rest, NULL);
    return program(count, words, environment);
}

int __libc_start_main(Main *main, int count, char **words, void (*start)(void), void (*end)(void),
                      void (*loader_end)(void), void *stack) {
    int (*real)(Main *, int, char **, void (*)(void), void (*)(void), void (*)(void), void *);
    *(void **)&real = dlsym(RTLD_NEXT, "__libc_start_main"); /* as POSIX writes it */
    program = main;
    return real(run_program, count, words, start, end, loader_end, stack);
}

__attribute__((constructor)) static void begin(void) {
    const char *file = getenv("SHORTAGE_REPORT");
    Stack here = {.caller = __builtin_return_address(0)};
    if (!file) {
        return;
    }
    _Unwind_Backtrace(note_call, &here); /* what it needs is set up now */
    spare = getenv("SHORTAGE_SPARE");
    report = open(file, O_WRONLY | O_CREAT | O_APPEND | O_CLOEXEC, 0600);
    child_out = memfd_create("out", MFD_CLOEXEC);
    child_err = memfd_create("err", MFD_CLOEXEC);
    seen = shared(SEEN_SLOTS * sizeof *seen, MAP_PRIVATE);
    last = shared(sizeof *last, MAP_SHARED);
    known = shared(KNOWN_SLOTS * sizeof *known, MAP_PRIVATE);
    live = shared(LIVE_SLOTS * sizeof *live, MAP_PRIVATE);
    active = report >= 0 && child_out >= 0 && child_err >= 0 && seen && last && known && live;
}

__attribute__((destructor)) static void finish(void) {
    if (!active) {
        return;
    }
    active = false;
    list_leaks(last);
    if (!child) {
        uint64_t files_hash;
        int files = files_left(false, &files_hash);
        note("end", 0, 0, 0, FNV_BASIS, files, files_hash, "");
    } else { /* the end of dozens of other libraries would take as long as all that came before */
        fflush(NULL);
        _exit(exit_status);
    }
}
