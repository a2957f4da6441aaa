// A fuzz target without a fuzzer: replay MUTATIONS FOLDER... feeds it every file of the folders, by name, and
// then so many mutations of them (mutate.h), the same ones always. Works with any compiler. Where an input
// ends the process, it is left in the file `input-that-ended-it` of the folder where this runs.
#include <filesystem>
#include <fstream>
#include <iterator>

#include "tests/fuzz/mutate.h"
#include "tests/fuzz/target.h"

namespace {

namespace fs = std::filesystem;

std::string ReadFile(const fs::path& path) {
  std::ifstream file(path, std::ios::binary);
  return std::string(std::istreambuf_iterator<char>(file), {});
}

void Feed(const std::string& text) {
  const char* const kept = "input-that-ended-it";
  std::ofstream(kept, std::ios::binary) << text;
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(text.data()), text.size());
  fs::remove(kept);
}

}  // namespace

int main(int argc, char** argv) {
  std::vector<fs::path> files;
  for (int i = 2; i < argc; ++i) {
    if (!fs::is_directory(argv[i])) continue;  // nothing was found yet
    for (const auto& entry : fs::directory_iterator(argv[i])) files.push_back(entry.path());
  }
  std::sort(files.begin(), files.end());
  if (files.empty()) {
    std::fputs("usage: replay MUTATIONS FOLDER...; there are no files in the folders\n", stderr);
    return 2;
  }
  std::vector<std::string> texts;
  for (const fs::path& file : files) texts.push_back(ReadFile(file));
  for (const std::string& text : texts) Feed(text);
  gearwhy::Mutator mutator(1);
  for (int left = std::atoi(argv[1]); left > 0; --left) {
    std::string text = texts[mutator.Below(texts.size())];
    for (std::size_t edits = 1 + mutator.Below(4); edits > 0; --edits)
      text = mutator.Mutate(text, texts[mutator.Below(texts.size())]);
    Feed(text);
  }
  std::printf("%zu files and %s mutations\n", texts.size(), argv[1]);
}
