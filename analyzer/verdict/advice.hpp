// The next bench step for each kind of finding, and the cautions that go with opening a device.
// Bench practice; no source beyond the cautions', which name theirs in docs/method.md.
#pragma once

#include <string>
#include <vector>

#include "analyzer/measure/findings.hpp"
#include "analyzer/verdict/verdict.hpp"

namespace paneproof {

// Steps in order, each said once. open: the device lies open on the bench already.
std::vector<std::string> next_steps(const Findings& findings, const std::vector<Reason>& reasons, bool open);

// Cautions for steps that open a device; empty when no step does.
std::vector<std::string> cautions_for(const std::vector<Reason>& reasons);

// What no touch log can show.
std::vector<std::string> not_tested(const Findings& findings);

// One sentence for the customer.
std::string customer_sentence(Outcome outcome, const Findings& findings);

}  // namespace paneproof
