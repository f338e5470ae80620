#include "analyzer/cli/guarded.hpp"

#include <csignal>
#include <cstdio>
#include <new>

namespace paneproof {

int complain(const std::string& line, Exit exit) {
  std::fflush(stdout);
  std::fprintf(stderr, "paneproof: %s\n", line.c_str());
  return static_cast<int>(exit);
}

int guarded(const std::function<int()>& run) {
  std::signal(SIGPIPE, SIG_IGN);
  std::signal(SIGXFSZ, SIG_IGN);
  try {
    return run();
  } catch (const InputError& error) {
    return complain(error.what(), error.exit);
  } catch (const std::bad_alloc&) {
    return complain("not enough memory for this input; cut the log to the sweep and try again",
                    Exit::bad_data);
  } catch (const std::exception& error) {
    return complain(
        std::string("internal error: ") + printable(error.what(), 400) + "; please report it with the file",
        Exit::software);
  }
}

}  // namespace paneproof
