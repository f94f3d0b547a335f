/* A clock that goes only while its process computes: preloaded into the strip packer, so that a
   bench gives both sides the same time of the processor on a machine that is busy with other work.
   Built and used by bench_packing.py; nothing else knows of it. */
#define _GNU_SOURCE
#include <errno.h>
#include <sys/syscall.h>
#include <time.h>
#include <unistd.h>

static int ask(clockid_t clock, struct timespec *now) {
    return (int)syscall(SYS_clock_gettime, clock, now);
}

int clock_gettime(clockid_t clock, struct timespec *now) {
    return ask(clock == CLOCK_MONOTONIC ? CLOCK_PROCESS_CPUTIME_ID : clock, now);
}

/* Who sleeps until a time of the other clock sleeps for what is left by this one. */
int clock_nanosleep(clockid_t clock, int flags, const struct timespec *until,
                    struct timespec *left) {
    struct timespec wait = *until, now;
    if (clock == CLOCK_MONOTONIC && (flags & TIMER_ABSTIME)) {
        ask(CLOCK_PROCESS_CPUTIME_ID, &now);
        wait.tv_sec -= now.tv_sec;
        wait.tv_nsec -= now.tv_nsec;
        if (wait.tv_nsec < 0) {
            wait.tv_nsec += 1000000000L;
            wait.tv_sec -= 1;
        }
        if (wait.tv_sec < 0) return 0;
        flags = 0;
    }
    return syscall(SYS_clock_nanosleep, clock, flags, &wait, left) ? errno : 0;
}
