/* Preloaded into a program: makes up a touchscreen from an evemu recording, for machines without /dev/input.
   FAKE_EVDEV_FOLDER/event7 is its node; FAKE_EVDEV_SCRIPT is the recording: its head answers what libevdev asks,
   its events are played FAKE_EVDEV_SPEED times as fast as they were, from the first opening on. A line
   "# unplug event9" takes the device away for half a second; it comes back at that node. FAKE_EVDEV_LOG takes
   "grab" and "clock N". For tests only. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <linux/input.h>
#include <pthread.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#include <unistd.h>

static struct {
  char name[256];
  struct input_id id;
  unsigned char properties[8], bits[EV_CNT][96];
  struct input_absinfo axes[ABS_CNT];
} device;
static char node[64] = "event7";
static int plugged = 1, played = 0, read_end = -1, write_end = -1;
static pthread_cond_t opened = PTHREAD_COND_INITIALIZER;
static pthread_mutex_t lock = PTHREAD_MUTEX_INITIALIZER;

static void tell(const char* what, int value) {
  const char* file = getenv("FAKE_EVDEV_LOG");
  FILE* out = file ? fopen(file, "a") : NULL;
  if (!out) return;
  fprintf(out, "%s %d\n", what, value);
  fclose(out);
}

static FILE* script(void) { return fopen(getenv("FAKE_EVDEV_SCRIPT"), "r"); }

static void take_bits(const char* text, unsigned char* bytes, int most, int* at) {
  unsigned value;
  int used;
  for (; sscanf(text, "%x%n", &value, &used) == 1; text += used)
    if (*at < most) bytes[(*at)++] = (unsigned char)value;
}

static void describe(void) {
  FILE* in = script();
  char line[512];
  int properties = 0, bytes[EV_CNT] = {0};
  while (in && fgets(line, sizeof line, in) && line[0] != 'E') {
    unsigned code;
    int used = 0;
    struct input_absinfo a = {0};
    if (line[0] == 'N') sscanf(line, "N: %255[^\n]", device.name);
    if (line[0] == 'P') take_bits(line + 2, device.properties, 8, &properties);
    if (line[0] == 'B' && sscanf(line, "B: %x%n", &code, &used) == 1 && code < EV_CNT) take_bits(line + used, device.bits[code], 96, &bytes[code]);
    if (line[0] == 'A' && sscanf(line, "A: %x %d %d %d %d %d", &code, &a.minimum, &a.maximum, &a.fuzz, &a.flat, &a.resolution) >= 3 && code < ABS_CNT)
      device.axes[code] = a;
  }
  if (in) fclose(in);
}

static void* play(void* unused) {
  FILE* in = script();
  char line[512];
  const double speed = getenv("FAKE_EVDEV_SPEED") ? atof(getenv("FAKE_EVDEV_SPEED")) : 1;
  struct timespec begun, now;
  double first = -1;
  clock_gettime(CLOCK_MONOTONIC, &begun);
  while (in && fgets(line, sizeof line, in)) {
    double t;
    unsigned type, code;
    int value;
    if (sscanf(line, "# unplug %63s", node) == 1) {
      pthread_mutex_lock(&lock);
      plugged = 0;
      close(write_end);
      write_end = -1;
      pthread_mutex_unlock(&lock);
      usleep(500000);
      char path[512];
      snprintf(path, sizeof path, "%s/%s", getenv("FAKE_EVDEV_FOLDER"), node);
      const int fd = creat(path, 0600);
      if (fd >= 0) close(fd);
      pthread_mutex_lock(&lock);
      plugged = 1;
      while (write_end < 0) pthread_cond_wait(&opened, &lock);
      pthread_mutex_unlock(&lock);
      continue;
    }
    if (sscanf(line, "E: %lf %x %x %d", &t, &type, &code, &value) != 4) continue;
    if (first < 0) first = t;
    clock_gettime(CLOCK_MONOTONIC, &now);
    const double passed = (double)(now.tv_sec - begun.tv_sec) + 1e-9 * (double)(now.tv_nsec - begun.tv_nsec);
    if ((t - first) / speed > passed) usleep((useconds_t)(((t - first) / speed - passed) * 1e6));
    const double stamp = (double)begun.tv_sec + 1e-9 * (double)begun.tv_nsec + 0.05 + t - first;
    struct input_event event = {.type = (unsigned short)type, .code = (unsigned short)code, .value = value};
    event.input_event_sec = (long)stamp;
    event.input_event_usec = (long)((stamp - (double)(long)stamp) * 1e6);
    if (write(write_end, &event, sizeof event) < 0) break;
  }
  if (in) fclose(in);
  return unused;
}

static int is_node(const char* path) {
  const char* folder = getenv("FAKE_EVDEV_FOLDER");
  const size_t length = folder ? strlen(folder) : 0;
  return length && strncmp(path, folder, length) == 0 && strncmp(path + length, "/event", 6) == 0;
}

int open(const char* path, int flags, ...) {
  static int (*real)(const char*, int, ...);
  va_list rest;
  va_start(rest, flags);
  const mode_t mode = (flags & O_CREAT) || (flags & O_TMPFILE) == O_TMPFILE ? va_arg(rest, mode_t) : 0;
  va_end(rest);
  if (!real) real = (int (*)(const char*, int, ...))dlsym(RTLD_NEXT, "open");
  if (!is_node(path) || (flags & O_CREAT)) return real(path, flags, mode);
  int ends[2];
  pthread_mutex_lock(&lock);
  if (!plugged || strcmp(strrchr(path, '/') + 1, node) != 0 || pipe2(ends, O_NONBLOCK | O_CLOEXEC) != 0) {
    pthread_mutex_unlock(&lock);
    errno = ENODEV;
    return -1;
  }
  fcntl(ends[1], F_SETFL, 0);
  read_end = ends[0];
  write_end = ends[1];
  pthread_cond_signal(&opened);
  pthread_mutex_unlock(&lock);
  pthread_t thread;
  if (!played) describe();
  if (!played++) pthread_create(&thread, NULL, play, NULL);
  return read_end;
}

ssize_t read(int fd, void* bytes, size_t count) {
  static ssize_t (*real)(int, void*, size_t);
  if (!real) real = (ssize_t(*)(int, void*, size_t))dlsym(RTLD_NEXT, "read");
  const ssize_t got = real(fd, bytes, count);
  if (fd != read_end || got != 0) return got;
  errno = ENODEV;  /* its other end is closed: unplugged */
  return -1;
}

int close(int fd) {
  static int (*real)(int);
  if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "close");
  if (fd == read_end) read_end = -1;
  return real(fd);
}

int ioctl(int fd, unsigned long request, ...) {
  static int (*real)(int, unsigned long, ...);
  va_list rest;
  va_start(rest, request);
  void* out = va_arg(rest, void*);
  va_end(rest);
  if (!real) real = (int (*)(int, unsigned long, ...))dlsym(RTLD_NEXT, "ioctl");
  if (fd != read_end || _IOC_TYPE(request) != 'E') return real(fd, request, out);
  const unsigned number = _IOC_NR(request);
  const size_t size = _IOC_SIZE(request);
  if (request == EVIOCGVERSION) return *(int*)out = EV_VERSION, 0;
  if (request == EVIOCGID) return *(struct input_id*)out = device.id, 0;
  if (request == EVIOCGRAB) return tell("grab", (int)(long)out), 0;
  if (request == EVIOCSCLOCKID) return tell("clock", *(int*)out), 0;
  if (number == _IOC_NR(EVIOCGNAME(0))) return strncpy(out, device.name, size), (int)strlen(device.name) + 1;
  if (number == _IOC_NR(EVIOCGPHYS(0)) || number == _IOC_NR(EVIOCGUNIQ(0))) return errno = ENOENT, -1;
  memset(out, 0, number == _IOC_NR(EVIOCGMTSLOTS(0)) ? 0 : size);
  if (number == _IOC_NR(EVIOCGPROP(0))) return memcpy(out, device.properties, size < 8 ? size : 8), 8;
  if (number >= 0x20 && number < 0x20 + EV_CNT) return memcpy(out, device.bits[number - 0x20], size < 96 ? size : 96), 96;
  if (number >= 0x40 && number < 0x40 + ABS_CNT) return memcpy(out, &device.axes[number - 0x40], sizeof(struct input_absinfo)), 0;
  if (number == _IOC_NR(EVIOCGMTSLOTS(0))) {
    const int code = *(int*)out;
    for (size_t i = 1; i < size / 4; ++i) ((int*)out)[i] = code == ABS_MT_TRACKING_ID ? -1 : 0;
  }
  return 0;
}
