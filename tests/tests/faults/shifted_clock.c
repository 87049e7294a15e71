/* Shifts the wall clock of the process that loads this by SHIFTED_CLOCK_S seconds; the monotonic
   clock is left alone. A time namespace can't do it: it shifts the monotonic clocks only. */
#define _GNU_SOURCE
#include <stdlib.h>
#include <sys/syscall.h>
#include <sys/time.h>
#include <time.h>
#include <unistd.h>

static long shift(void) {
    const char *seconds = getenv("SHIFTED_CLOCK_S");
    return seconds ? atol(seconds) : 0;
}

int clock_gettime(clockid_t clock, struct timespec *now) {
    int failed = syscall(SYS_clock_gettime, clock, now);
    if (!failed && (clock == CLOCK_REALTIME || clock == CLOCK_REALTIME_COARSE)) now->tv_sec += shift();
    return failed;
}

int gettimeofday(struct timeval *restrict now, void *restrict zone) {
    (void)zone;
    struct timespec exact;
    if (clock_gettime(CLOCK_REALTIME, &exact)) return -1;
    now->tv_sec = exact.tv_sec;
    now->tv_usec = exact.tv_nsec / 1000;
    return 0;
}

time_t time(time_t *now) {
    struct timespec exact;
    clock_gettime(CLOCK_REALTIME, &exact);
    if (now) *now = exact.tv_sec;
    return exact.tv_sec;
}
