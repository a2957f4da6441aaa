// A folder for a program to work in, for tests that let something fail meanwhile; and beside it, where they
// are in nobody's way, the files of its standard streams.
#pragma once

#include <filesystem>
#include <string>
#include <vector>

#include "tests/support/program.h"
#include "tests/support/temporary_folder.h"

namespace gearwhy {

class Workplace {
 public:
  explicit Workplace(const std::string& input) {
    std::filesystem::create_directory(all_.Path("work"));
    all_.Write("in", input);
  }
  void Write(const std::string& name, const std::string& text) const { all_.Write("work/" + name, text); }

  std::string folder() const { return all_.Path("work"); }
  std::filesystem::path Path(const std::string& name) const { return all_.path() / "work" / name; }
  std::string InPath() const { return all_.Path("in"); }
  std::string OutPath() const { return all_.Path("out"); }
  std::string ErrPath() const { return all_.Path("err"); }
  std::string Out() const { return ReadAll(OutPath()); }
  std::string Err() const { return ReadAll(ErrPath()); }
  // Hidden files, as a writer that broke off leaves them.
  std::string Litter() const {
    std::string found;
    for (const auto& entry : std::filesystem::directory_iterator(folder())) {
      const std::string name = entry.path().filename().string();
      if (name.starts_with(".")) found += name + "\n";
    }
    return found;
  }

 private:
  TemporaryFolder all_;
};

}  // namespace gearwhy
