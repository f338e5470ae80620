/* Preloaded into a program: makes the Nth call that changes a file fail, N from FAIL_AT. FAIL_WITH is the
   errno; FAIL_LOG takes the number of calls made. For tests only. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

static int calls;

static int regular(int fd) {
  struct stat facts;
  return fstat(fd, &facts) == 0 && (S_ISREG(facts.st_mode) || S_ISDIR(facts.st_mode));
}

static int fails(void) {
  const char *at = getenv("FAIL_AT"), *with = getenv("FAIL_WITH");
  if (++calls != (at ? atoi(at) : -1)) return 0;
  errno = with ? atoi(with) : EIO;
  return 1;
}

__attribute__((destructor)) static void tell(void) {
  const char* log = getenv("FAIL_LOG");
  FILE* out = log ? fopen(log, "w") : NULL;
  if (!out) return;
  fprintf(out, "%d\n", calls);
  fclose(out);
}

#define REAL(type, name, ...)                                    \
  static type (*real)(__VA_ARGS__);                              \
  if (!real) real = (type(*)(__VA_ARGS__))dlsym(RTLD_NEXT, name)

ssize_t write(int fd, const void* bytes, size_t count) {
  REAL(ssize_t, "write", int, const void*, size_t);
  return regular(fd) && fails() ? -1 : real(fd, bytes, count);
}
ssize_t pwrite(int fd, const void* bytes, size_t count, off_t at) {
  REAL(ssize_t, "pwrite", int, const void*, size_t, off_t);
  return fails() ? -1 : real(fd, bytes, count, at);
}
ssize_t pwrite64(int fd, const void* bytes, size_t count, off64_t at) {
  REAL(ssize_t, "pwrite64", int, const void*, size_t, off64_t);
  return fails() ? -1 : real(fd, bytes, count, at);
}
int fsync(int fd) {
  REAL(int, "fsync", int);
  return fails() ? -1 : real(fd);
}
int fdatasync(int fd) {
  REAL(int, "fdatasync", int);
  return fails() ? -1 : real(fd);
}
int ftruncate(int fd, off_t size) {
  REAL(int, "ftruncate", int, off_t);
  return fails() ? -1 : real(fd, size);
}
int ftruncate64(int fd, off64_t size) {
  REAL(int, "ftruncate64", int, off64_t);
  return fails() ? -1 : real(fd, size);
}
/* Opening changes a file where it makes one. */
static int makes(int flags) { return (flags & O_CREAT) || (flags & O_TMPFILE) == O_TMPFILE; }

#define OPEN(name)                                                        \
  int name(const char* path, int flags, ...) {                            \
    REAL(int, #name, const char*, int, ...);                              \
    va_list rest;                                                         \
    va_start(rest, flags);                                                \
    const mode_t mode = makes(flags) ? va_arg(rest, mode_t) : 0;          \
    va_end(rest);                                                         \
    return makes(flags) && fails() ? -1 : real(path, flags, mode);        \
  }
OPEN(open)
OPEN(open64)

int link(const char* from, const char* to) {
  REAL(int, "link", const char*, const char*);
  return fails() ? -1 : real(from, to);
}
int fchmod(int fd, mode_t mode) {
  REAL(int, "fchmod", int, mode_t);
  return fails() ? -1 : real(fd, mode);
}
int rename(const char* from, const char* to) {
  REAL(int, "rename", const char*, const char*);
  return fails() ? -1 : real(from, to);
}
int linkat(int a, const char* from, int b, const char* to, int flags) {
  REAL(int, "linkat", int, const char*, int, const char*, int);
  return fails() ? -1 : real(a, from, b, to, flags);
}
int mkdir(const char* path, mode_t mode) {
  REAL(int, "mkdir", const char*, mode_t);
  return fails() ? -1 : real(path, mode);
}
int unlink(const char* path) {
  REAL(int, "unlink", const char*);
  return fails() ? -1 : real(path);
}
