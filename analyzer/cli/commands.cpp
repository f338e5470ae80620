#include "analyzer/cli/commands.hpp"

namespace paneproof {

const std::vector<Command>& commands() {
  static const std::vector<Command> all = {
      {"check", "read the touch log of a drag sweep and say pass, fail or resweep", set_up_check},
      {"convert", "write a touch log in another format, in mm where the size is known", set_up_convert},
      {"job", "show or note what happened to a job, stage by stage", set_up_job},
      {"key", "make, show or replace the key that signs evidence", set_up_key},
      {"ledger", "show, prove, audit and export the bench's ledger", set_up_ledger},
      {"plan", "say how to sweep a panel before anyone does", set_up_plan},
      {"rehearse", "make up a sweep with known truth, for training or to check an installation",
       set_up_rehearse},
      {"sweep", "take a live sweep: from the device's own page, or over USB", set_up_sweep},
      {"verify", "say whether an evidence file is genuine", set_up_verify},
  };
  return all;
}

}  // namespace paneproof
