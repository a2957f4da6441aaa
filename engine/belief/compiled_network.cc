#include "engine/belief/compiled_network.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <limits>

#include "engine/text/at.h"

namespace gearwhy {
namespace {

constexpr double kMinusInfinity = -std::numeric_limits<double>::infinity();

constexpr int kLeastWidth = 3;  // of one link of a chain: a network without loops always fits

double Or(double a, double b) { return a + b * (1 - a); }

}  // namespace

CompiledNetwork::CompiledNetwork(const Network& network, const BeliefLimits& limits, const Options& options)
    : network_(network),
      nodes_(network.events.size()),
      retractable_(options.retractable),
      limits_{std::max(limits.max_width, kLeastWidth), options.max_entries} {
  assert(network.worlds.empty());
  Prune(options);
  ApplyReports();
  AbsorbAbsent();
  JoinParts(options);
  Merge(options);
  // An event given by a certain report still ties its causes together.
  for (int event : inside_) {
    const Node& node = nodes_[At(event)];
    if (node.place == Place::kVariable || (node.place == Place::kPresent && !node.causes.empty())) {
      in_tree_.push_back(event);
    }
  }
  OrderTree();
  if (retractable_) FindWanted(options);
}

bool CompiledNetwork::Build() {
  if (!fits()) return false;
  tree_->Build();
  MeasureTree();
  return true;
}

// Finds the events inside, orders them causes first, joins duplicate links and drops those that never act.
void CompiledNetwork::Prune(const Options& options) {
  std::vector<int> wanted = options.targets;
  wanted.insert(wanted.end(), options.asked.begin(), options.asked.end());
  const std::vector<char> needed = BearsOnReports(network_, wanted);
  for (int event : CausesFirst(network_)) {
    if (needed[At(event)]) inside_.push_back(event);
  }
  for (int event : inside_) {
    Node& node = nodes_[At(event)];
    node.place = Place::kVariable;
    node.p_leak = network_.events[At(event)].p_unexplained;
    for (const Cause& cause : network_.events[At(event)].causes) {
      if (cause.p_how_often <= 0) continue;
      const auto same = std::find_if(node.causes.begin(), node.causes.end(),
                                     [&](const Link& link) { return link.event == cause.event; });
      if (same == node.causes.end()) {
        node.causes.push_back({cause.event, cause.p_how_often});
        ++nodes_[At(cause.event)].all_effects;
      } else {
        same->q = Or(same->q, cause.p_how_often);
      }
    }
  }
  // Ends: targets without a report that cause nothing inside.
  std::vector<char> tied(nodes_.size(), 0);
  for (int event : inside_) {
    for (const Link& link : nodes_[At(event)].causes) tied[At(link.event)] = 1;
  }
  for (const Report& report : network_.reports) {
    if (!report.left_out) tied[At(report.event)] = 1;
  }
  const auto make_ends = [&](const std::vector<int>& events) {
    for (int event : events) {
      if (!tied[At(event)] && !nodes_[At(event)].causes.empty()) nodes_[At(event)].place = Place::kEnd;
    }
  };
  if (options.asked_as_ends) {
    make_ends(options.asked);
  } else {
    for (int event : options.asked) tied[At(event)] = 1;
  }
  make_ends(options.targets);
  for (int event : options.targets) {
    if (nodes_[At(event)].place == Place::kEnd) ends_.push_back(event);
  }
}

void CompiledNetwork::ApplyReports() {
  for (const Report& report : network_.reports) {
    if (report.left_out) continue;
    Node& node = nodes_[At(report.event)];
    ++node.reports;
    node.if_present *= report.p_if_present;
    node.if_absent *= report.p_if_absent;
    // Many doubtful reports of one event: keep the larger weight at 1.
    const double largest = std::max(node.if_present, node.if_absent);
    AddEvidence(largest);
    if (largest > 0) {
      node.if_present /= largest;
      node.if_absent /= largest;
    }
  }
  for (int event : inside_) {
    Node& node = nodes_[At(event)];
    const bool can_be =
        node.p_leak > 0 || std::any_of(node.causes.begin(), node.causes.end(), [&](const Link& link) {
          return nodes_[At(link.event)].place != Place::kAbsent;
        });
    if (node.if_present == 0 || (!can_be && node.place == Place::kVariable)) {
      node.place = Place::kAbsent;
      node.is_said_absent = node.if_present == 0;
      AddEvidence(node.if_absent);
    } else if (node.if_absent == 0 && !retractable_) {
      node.place = Place::kPresent;
      AddEvidence(node.if_present);
      node.if_present = 1;
    }
  }
}

void CompiledNetwork::AddEvidence(double factor) {
  logp_constant_ += factor > 0 ? std::log(factor) : kMinusInfinity;
}

// Certain causes leave every event; absent events leave the network, each weighing its causes. Effects first:
// what always brings about something absent is absent itself.
void CompiledNetwork::AbsorbAbsent() {
  for (size_t i = inside_.size(); i-- > 0;) {
    Node& node = nodes_[At(inside_[i])];
    if (node.place == Place::kVariable && node.if_present == 0) {
      node.place = Place::kAbsent;
      AddEvidence(node.if_absent);
    }
    for (const Link& link : node.causes) {
      if (nodes_[At(link.event)].place == Place::kPresent) node.p_beside = Or(node.p_beside, link.q);
    }
    node.p_leak = Or(node.p_leak, node.p_beside);
    if (node.place != Place::kAbsent) continue;
    AddEvidence(1 - node.p_leak);
    for (const Link& link : node.causes) {
      Node& cause = nodes_[At(link.event)];
      if (cause.place != Place::kPresent) cause.if_present *= 1 - link.q;
    }
    if (retractable_) node.weighed = std::move(node.causes);
    node.causes.clear();
  }
  for (int event : inside_) {
    Node& node = nodes_[At(event)];
    std::erase_if(node.causes, [&](const Link& link) {
      const Place cause = nodes_[At(link.event)].place;
      return cause == Place::kPresent || cause == Place::kAbsent;
    });
    for (const Link& link : node.causes) ++nodes_[At(link.event)].effects;
  }
}

// What is nothing but a case of one other event, and of which nothing is known or wanted, makes way for its
// causes: they bring the whole about as they do the part.
void CompiledNetwork::JoinParts(const Options& options) {
  std::vector<char> wanted(nodes_.size(), 0);
  for (int event : options.targets) wanted[At(event)] = 1;
  for (int event : options.asked) wanted[At(event)] = 1;
  for (int event : inside_) {
    Node& whole = nodes_[At(event)];
    std::vector<Link> causes;
    const auto add = [&](const Link& link) {
      const auto same = std::find_if(causes.begin(), causes.end(),
                                     [&](const Link& other) { return other.event == link.event; });
      if (same == causes.end()) {
        causes.push_back(link);
        return;
      }
      same->q = Or(same->q, link.q);
      --nodes_[At(link.event)].effects;
    };
    for (const Link& link : whole.causes) {
      Node& part = nodes_[At(link.event)];
      const bool joins = link.q >= 1 && part.place == Place::kVariable && part.effects == 1 &&
                         !part.causes.empty() && part.if_absent == 1 && part.if_present == 1 &&
                         wanted[At(link.event)] == 0 &&
                         network_.events[At(link.event)].type == EventType::kFinding;
      if (!joins) {
        add(link);
        continue;
      }
      part.place = Place::kOutside;
      whole.p_beside = Or(whole.p_beside, part.p_leak);
      whole.p_leak = Or(whole.p_leak, part.p_leak);
      for (const Link& behind : part.causes) add(behind);
      part.causes.clear();
    }
    whole.causes = std::move(causes);
  }
}

void CompiledNetwork::Merge(const Options& options) {
  std::vector<char> keep(nodes_.size(), 0);
  for (int event : options.asked) keep[At(event)] = 1;
  for (int event : inside_) {
    const Node& node = nodes_[At(event)];
    for (const Link& link : node.place == Place::kEnd ? node.causes : node.weighed) keep[At(link.event)] = 1;
  }
  for (int event : inside_) {
    Node& node = nodes_[At(event)];
    if (node.place == Place::kAbsent || node.place == Place::kEnd) continue;
    std::erase_if(node.causes, [&](const Link& link) {
      const Node& cause = nodes_[At(link.event)];
      if (cause.place != Place::kMerged) return false;
      node.merged.push_back(link);
      node.p_leak = Or(node.p_leak, cause.p_alone * link.q);
      return true;
    });
    if (!node.causes.empty()) continue;
    if (node.place == Place::kPresent) {
      AddEvidence(node.p_leak);
      continue;
    }
    if (retractable_ && node.reports > 0) {  // what was reported stays apart
      node.p_alone = node.p_leak;
      continue;
    }
    const double absent = (1 - node.p_leak) * node.if_absent;
    const double present = node.p_leak * node.if_present;
    AddEvidence(absent + present);
    if (absent + present > 0) node.p_alone = present / (absent + present);
    node.if_absent = node.if_present = 1;
    if (node.effects <= 1 && !keep[At(event)]) node.place = Place::kMerged;
  }
}

void CompiledNetwork::OrderTree() {
  for (size_t i = 0; i < in_tree_.size(); ++i) nodes_[At(in_tree_[i])].variable = static_cast<int>(i);
  std::vector<OrNode> or_nodes;
  for (int event : in_tree_) {
    const Node& node = nodes_[At(event)];
    OrNode or_node = OrOf(node);
    if (node.causes.empty()) or_node.p_leak = node.p_alone;
    or_node.if_absent = node.place == Place::kPresent ? 0 : node.if_absent;
    or_node.if_present = node.if_present;
    or_nodes.push_back(std::move(or_node));
  }
  tree_.emplace(std::move(or_nodes), limits_);
  MeasureTree();
}

std::vector<double> CompiledNetwork::EntriesByEvent() const {
  std::vector<double> entries(nodes_.size(), 0);
  const std::vector<double> of_node = tree_->EntriesOfGathering();
  for (std::size_t i = 0; i < in_tree_.size(); ++i) entries[At(in_tree_[i])] = of_node[i];
  return entries;
}

void CompiledNetwork::MeasureTree() {
  width_ = tree_->width();
  entries_ = tree_->entries();
  widest_.clear();
  for (int node : tree_->Widest()) widest_.push_back(in_tree_[At(node)]);
  std::sort(widest_.begin(), widest_.end());
}

// As an OR of nodes of the tree, of which nothing is reported.
OrNode CompiledNetwork::OrOf(const Node& node) const {
  OrNode or_node;
  or_node.p_leak = node.p_leak;
  for (const Link& link : node.causes) or_node.causes.push_back({nodes_[At(link.event)].variable, link.q});
  return or_node;
}

CompiledNetwork::Supposed CompiledNetwork::Suppose(const std::vector<Supposition>& suppositions) const {
  Supposed supposed;
  for (const Supposition& s : suppositions) {
    const Node& node = nodes_[At(s.event)];
    if (node.place == Place::kAbsent || node.place == Place::kPresent) {
      supposed.logp += std::log(node.place == Place::kPresent ? s.if_present : s.if_absent);
      continue;
    }
    if (node.place != Place::kEnd) {
      supposed.question.weights.push_back({node.variable, s.if_absent, s.if_present, s.instead});
      continue;
    }
    const auto end = std::find(supposed.ends.begin(), supposed.ends.end(), s.event);
    const auto index = static_cast<std::size_t>(end - supposed.ends.begin());
    if (end == supposed.ends.end()) {
      supposed.ends.push_back(s.event);
      supposed.question.beside.push_back(OrOf(node));
    }
    supposed.question.beside[index].if_absent *= s.if_absent;
    supposed.question.beside[index].if_present *= s.if_present;
  }
  return supposed;
}

double CompiledNetwork::LogChance(const std::vector<Supposition>& suppositions) {
  const Supposed supposed = Suppose(suppositions);
  const double logp = logp_constant_ + supposed.logp;
  return logp == kMinusInfinity ? logp : logp + tree_->LogTotal(supposed.question);
}

// What the absence of an event has weighed, and that of what its absence alone made absent. False where
// something else hangs on these, or they are asked for.
bool CompiledNetwork::Release(int event, std::vector<Supposition>& suppositions) const {
  const Node& node = nodes_[At(event)];
  if (is_wanted_[At(event)] != 0) return false;
  suppositions.push_back({event, 1 / (1 - node.p_leak), 0});
  for (const Link& link : node.weighed) {
    const Node& cause = nodes_[At(link.event)];
    if (cause.place == Place::kAbsent) {
      if (cause.is_said_absent) continue;
      if (cause.reports > 0 || cause.all_effects > 1 || !Release(link.event, suppositions)) return false;
    } else if (cause.place == Place::kVariable) {
      suppositions.push_back({link.event, 1, 1 / (1 - link.q)});
    } else {
      return false;
    }
  }
  return true;
}

std::optional<std::vector<Supposition>> CompiledNetwork::TakeBack(const Report& report) const {
  const Node& node = nodes_[At(report.event)];
  double all_present = 1, all_absent = 1, others_present = 1, others_absent = 1;
  for (const Report& other : network_.reports) {
    if (other.event != report.event) continue;
    all_present *= other.p_if_present;
    all_absent *= other.p_if_absent;
    if (&other == &report) continue;
    others_present *= other.p_if_present;
    others_absent *= other.p_if_absent;
  }
  const double scale = std::max(all_present, all_absent);  // of the weights; see ApplyReports
  if (node.place == Place::kVariable) {
    const double by_effects = node.if_present * scale / all_present;
    return {{{report.event, others_absent / scale, others_present / scale * by_effects, true}}};
  }
  if (node.place != Place::kAbsent || node.reports > 1 || node.all_effects > 0) return std::nullopt;
  std::vector<Supposition> suppositions = {{report.event, 1 / report.p_if_absent, 0}};
  if (!Release(report.event, suppositions)) return std::nullopt;
  return suppositions;
}

// What has been merged is told by the node that it is merged into.
void CompiledNetwork::FindWanted(const Options& options) {
  is_wanted_.assign(nodes_.size(), 0);
  std::vector<char> is_node_wanted(in_tree_.size(), 0);
  for (const int event : options.targets) {
    is_wanted_[At(event)] = 1;
    if (nodes_[At(event)].place != Place::kEnd) continue;
    for (const Link& link : nodes_[At(event)].causes) is_wanted_[At(link.event)] = 1;
  }
  for (const int event : inside_) {
    const Node& node = nodes_[At(event)];
    for (const Link& link : node.merged) {
      if (is_wanted_[At(link.event)] != 0) is_wanted_[At(event)] = 1;
    }
    if (node.variable >= 0) is_node_wanted[At(node.variable)] = is_wanted_[At(event)];
  }
  tree_->TellOnly(std::move(is_node_wanted));
}

double CompiledNetwork::Solve(const std::vector<Supposition>& suppositions, bool ends,
                              std::vector<double>* p_event, std::vector<double>* p_by_itself) {
  const Supposed supposed = Suppose(suppositions);
  const double logp = logp_constant_ + supposed.logp;
  if (logp == kMinusInfinity) return logp;
  const double logp_tree = tree_->Shares(supposed.question, &present_, &leak_struck_);
  if (!std::isfinite(logp_tree)) return logp_tree;

  // Effects first: a merged event's chance follows from its effect's S0.
  for (size_t i = inside_.size(); i-- > 0;) {
    const size_t event = At(inside_[i]);
    if (retractable_ && is_wanted_[event] == 0) continue;
    const Node& node = nodes_[event];
    double p_s0 = 0;
    switch (node.place) {
      case Place::kOutside:
      case Place::kEnd:
        continue;
      case Place::kAbsent:
        (*p_event)[event] = (*p_by_itself)[event] = 0;
        continue;
      case Place::kPresent:
        (*p_event)[event] = 1;
        p_s0 = node.causes.empty() ? 1 : leak_struck_[At(node.variable)];
        break;
      case Place::kMerged:
        if (node.effects == 0) (*p_event)[event] = node.p_alone;  // otherwise its effect has written it
        p_s0 = (*p_event)[event];
        break;
      case Place::kVariable:
        (*p_event)[event] = present_[At(node.variable)];
        p_s0 = leak_struck_[At(node.variable)];
        break;
    }
    const double own = network_.events[event].p_unexplained;
    (*p_by_itself)[event] = node.p_leak > 0 ? std::min(1.0, p_s0 * own / node.p_leak) : 0;
    TellMerged(node, own, p_s0, p_event);
  }
  for (const int end : supposed.ends) TellEnd(end, supposed, logp_tree, p_event, p_by_itself);
  for (const int end : ends ? ends_ : std::vector<int>{}) {
    if (std::find(supposed.ends.begin(), supposed.ends.end(), end) == supposed.ends.end())
      TellEnd(end, supposed, logp_tree, p_event, p_by_itself);
  }
  return logp + logp_tree;
}

// `p_s0`: that any of what is merged into it, or its own leak, has struck; `own`: that leak.
void CompiledNetwork::TellMerged(const Node& node, double own, double p_s0,
                                 std::vector<double>* p_event) const {
  for (size_t m = 0; m < node.merged.size(); ++m) {
    const Link& link = node.merged[m];
    const double p = nodes_[At(link.event)].p_alone;
    double others = Or(own, node.p_beside);
    for (size_t k = 0; k < node.merged.size(); ++k) {
      if (k != m) others = Or(others, nodes_[At(node.merged[k].event)].p_alone * node.merged[k].q);
    }
    const double if_not = p * link.q < 1 ? p * (1 - link.q) / (1 - p * link.q) : 0;
    const double if_so = node.p_leak > 0 ? p * Or(link.q, others) / node.p_leak : 0;
    (*p_event)[At(link.event)] = std::min(1.0, (1 - p_s0) * if_not + p_s0 * if_so);
  }
}

// `logp_tree`: the logarithm of the tree's total with what is supposed.
void CompiledNetwork::TellEnd(int event, const Supposed& supposed, double logp_tree,
                              std::vector<double>* p_event, std::vector<double>* p_by_itself) {
  const Node& node = nodes_[At(event)];
  double& p = (*p_event)[At(event)];
  // By itself: its own leak acts whatever the causes do.
  double& by_itself = (*p_by_itself)[At(event)];
  by_itself = network_.events[At(event)].p_unexplained;
  const auto end = std::find(supposed.ends.begin(), supposed.ends.end(), event);
  TreeQuestion if_absent = supposed.question;
  if (end == supposed.ends.end()) {
    if (node.causes.size() == 1) {
      const Link& only = node.causes.front();
      p = Or(node.p_leak, only.q * present_[At(nodes_[At(only.event)].variable)]);
      return;
    }
    if_absent.beside.push_back(OrOf(node));
    if_absent.beside.back().if_present = 0;
  } else {
    const auto index = end - supposed.ends.begin();
    TreeQuestion others = supposed.question;
    others.beside.erase(others.beside.begin() + index);
    const double b = supposed.question.beside[static_cast<std::size_t>(index)].if_present;
    by_itself = std::clamp(by_itself * b * std::exp(tree_->LogTotal(others) - logp_tree), 0.0, 1.0);
    if_absent.beside[static_cast<std::size_t>(index)].if_present = 0;
  }
  p = std::clamp(-std::expm1(tree_->LogTotal(if_absent) - logp_tree), 0.0, 1.0);
}

}  // namespace gearwhy
