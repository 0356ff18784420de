/* A loop whose rounds run on several threads, each with a solver environment of its own. */
#include "analysis/parallel.h"

#include <glpk.h>
#include <pthread.h>
#include <stdlib.h>

enum { MOST_THREADS = 64 };

typedef struct {
    const SxWork *run;
    int count, next, finished;
    ParallelWork work;
    void *context;
    bool *done;
    int failed_at; /* lowest index that failed; count if none */
    SxStatus status;
    SxError *err;
    pthread_mutex_t lock;
} Loop;

bool sx_parallel_stopped(const SxWork *run) {
    return sx_work_over(run);
}

SxWork sx_work_alone(const SxWork *run) {
    SxWork alone = {.threads = 1};
    if (run) {
        alone.stop = run->stop;
        alone.deadline = run->deadline;
    }
    return alone;
}

SxStatus sx_only_proven(SxStatus status, const SxLineup *lineup, SxError *err) {
    return status == SX_OK && lineup->proof == SX_FEASIBLE
               ? sx_fail(err, SX_OUT_OF_TIME, "the time was up before the best lineup was proven")
               : status;
}

static void record(Loop *loop, int index, SxStatus status, const SxError *err) {
    loop->finished++;
    if (loop->done) {
        loop->done[index] = status == SX_OK;
    }
    if (status == SX_OUT_OF_TIME) {
        loop->next = loop->count;
    } else if (status != SX_OK && index < loop->failed_at) {
        loop->failed_at = index;
        loop->status = status;
        if (loop->err) {
            *loop->err = *err;
        }
    }
    if (loop->run && loop->run->progress) {
        loop->run->progress(loop->run->context, loop->finished, loop->count);
    }
}

static void rounds(Loop *loop) {
    for (;;) {
        pthread_mutex_lock(&loop->lock);
        bool over =
            loop->next >= loop->count || loop->status != SX_OK || sx_parallel_stopped(loop->run);
        int index = over ? -1 : loop->next++;
        pthread_mutex_unlock(&loop->lock);
        if (index < 0) {
            return;
        }
        SxError err = {.status = SX_OK};
        SxStatus status = loop->work(loop->context, index, &err);
        pthread_mutex_lock(&loop->lock);
        record(loop, index, status, &err);
        pthread_mutex_unlock(&loop->lock);
    }
}

/* GLPK's environment belongs to a thread: made on first use, freed before the thread ends. */
static void *thread_main(void *argument) {
    rounds(argument);
    glp_free_env();
    return NULL;
}

SxStatus sx_parallel_for(const SxWork *run, int count, ParallelWork work, void *context, bool *done,
                         SxError *err) {
    Loop loop = {.run = run,
                 .count = count,
                 .work = work,
                 .context = context,
                 .done = done,
                 .failed_at = count,
                 .status = SX_OK,
                 .err = err};
    for (int k = 0; done && k < count; k++) {
        done[k] = false;
    }
    pthread_mutex_init(&loop.lock, NULL);
    pthread_t thread[MOST_THREADS];
    int threads = sx_work_threads(run);
    threads = threads < count ? threads : count;
    int started = 0;
    while (threads > 1 && started < threads &&
           pthread_create(&thread[started], NULL, thread_main, &loop) == 0) {
        started++;
    }
    if (started == 0) {
        rounds(&loop);
    }
    for (int k = 0; k < started; k++) {
        pthread_join(thread[k], NULL);
    }
    pthread_mutex_destroy(&loop.lock);
    return loop.status;
}
