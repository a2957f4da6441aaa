// JSON parts: pieces that several JSON objects have in common. Only the files of JSON include this.
#pragma once

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "engine/advise/next_checks.h"
#include "engine/belief/outcome.h"
#include "engine/explain/bench_report.h"
#include "engine/render/say.h"

namespace gearwhy {

using Json = nlohmann::ordered_json;

Json JsonOf(const NextCheck& check, const Speaker& speaker);
Json JsonOf(const BenchReading& reading, const Speaker& speaker);
Json JsonOf(const DueMeasurement& due, const Speaker& speaker);
Json JsonOf(const std::optional<Outcome>& outcome);
Json JsonOf(const Diagnostic& diagnostic, const Sources& sources);
// With what made it; see json.h.
std::string WriteJson(Json json, int indent);

}  // namespace gearwhy
