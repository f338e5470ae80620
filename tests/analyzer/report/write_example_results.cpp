// Writes hand-made and random results as JSON into a folder, for validate_schema.mjs.
#include <filesystem>
#include <fstream>
#include <iostream>

#include "analyzer/report/json.hpp"
#include "tests/analyzer/report/example_result.hpp"

int main(int count, char** arguments) {
  using namespace paneproof;
  if (count != 2) {
    std::cerr << "usage: write_example_results FOLDER\n";
    return 64;
  }
  const std::filesystem::path folder = arguments[1];
  std::filesystem::create_directories(folder);
  const auto write = [&](const std::string& name, const example::Parts& parts) {
    std::ofstream file(folder / (name + ".json"), std::ios::binary);
    file << json_text(parts.result());
    return file.good();
  };
  bool good = write("good", example::good_panel(68, 142)) && write("faulty", example::faulty_panel(247, 173));
  constexpr unsigned seed = 20240611;
  std::cout << "seed " << seed << "\n";
  std::mt19937_64 random(seed);
  for (int i = 0; i < 20; ++i)
    good = good && write("random" + std::to_string(i), example::random_panel(random));
  return good ? 0 : 74;
}
