// Cases of the shipped rulebook, diagnosed, for tests.
#pragma once

#include <algorithm>
#include <filesystem>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "engine/text/read_file.h"
#include "tests/support/shipped.h"

namespace gearwhy {

struct ShippedCase {
  Case c;
  std::optional<Diagnosis> diagnosis;
};

// One of so many, by name: sanitized, all of them are many minutes.
inline std::vector<std::string> ShippedCaseFiles(std::size_t of = 1) {
  std::vector<std::string> files;
  for (const auto& entry : std::filesystem::directory_iterator(GEARWHY_SOURCE_DIR "/cases"))
    files.push_back(entry.path().string());
  std::sort(files.begin(), files.end());
  std::vector<std::string> some;
  for (std::size_t i = 0; i < files.size(); i += of) some.push_back(files[i]);
  return some;
}

// `text`: of a case file that would be called `id`.
inline Case ReadCaseText(ShippedBook& shipped, const std::string& id, const std::string& text) {
  const int source = shipped.sources.Add(id + ".yaml", text);
  auto c =
      shipped.opened->ReadCase(shipped.sources, source, id, GEARWHY_SOURCE_DIR "/cases", shipped.diagnostics);
  INFO(shipped.Errors());
  REQUIRE(c);
  return std::move(*c);
}

inline Case ReadShippedCase(ShippedBook& shipped, const std::string& file) {
  const auto source = ReadSource(file, file, kMaxCaseBytes, shipped.sources, shipped.diagnostics);
  REQUIRE(source);
  return ReadCaseText(shipped, std::filesystem::path(file).stem().string(), shipped.sources.Text(*source));
}

inline std::unique_ptr<ShippedCase> DiagnoseCase(ShippedBook& shipped, Case c) {
  auto opened = std::make_unique<ShippedCase>();
  opened->c = std::move(c);
  opened->diagnosis = shipped.opened->DiagnoseCase(opened->c, {}, shipped.diagnostics);
  INFO(shipped.Errors());
  REQUIRE(opened->diagnosis);
  return opened;
}

inline std::unique_ptr<ShippedCase> DiagnoseText(ShippedBook& shipped, const std::string& id,
                                                 const std::string& text) {
  return DiagnoseCase(shipped, ReadCaseText(shipped, id, text));
}

inline std::unique_ptr<ShippedCase> DiagnoseFile(ShippedBook& shipped, const std::string& file) {
  return DiagnoseCase(shipped, ReadShippedCase(shipped, file));
}

}  // namespace gearwhy
