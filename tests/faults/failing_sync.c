/* Lets every sync of the disk fail while the file named by FAIL_SYNC is there. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdlib.h>
#include <unistd.h>

static int is_failing(void) {
    const char *flag = getenv("FAIL_SYNC");
    return flag != NULL && access(flag, F_OK) == 0;
}

int fsync(int fd) {
    if (is_failing()) { errno = EIO; return -1; }
    return ((int (*)(int))dlsym(RTLD_NEXT, "fsync"))(fd);
}

int fdatasync(int fd) {
    if (is_failing()) { errno = EIO; return -1; }
    return ((int (*)(int))dlsym(RTLD_NEXT, "fdatasync"))(fd);
}
