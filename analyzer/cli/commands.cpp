#include "analyzer/cli/commands.hpp"

namespace paneproof {

const std::vector<Command>& commands() {
  static const std::vector<Command> all = {
      {"check", "read the touch log of a drag sweep and say pass, fail or resweep", set_up_check},
      {"convert", "write a touch log in another format, in mm where the size is known", set_up_convert},
      {"plan", "say how to sweep a panel before anyone does", set_up_plan},
      {"rehearse", "make up a sweep with known truth, for training or to check an installation", set_up_rehearse},
  };
  return all;
}

}  // namespace paneproof
