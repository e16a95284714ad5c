#include "daemon/service/request_queue.hpp"

#include <gtest/gtest.h>

namespace leeward::daemon {
namespace {
using control::RequestKind;

QueuedPtr queued_of(RequestKind kind, int* answers = nullptr) {
  auto queued = std::make_unique<QueuedRequest>();
  queued->request.kind = kind;
  queued->done.push_back([answers](const SubmitOutcome&) {
    if (answers != nullptr) ++*answers;
  });
  return queued;
}
}  // namespace

TEST(RequestQueue, GivesAtMostATicksWorthOldestFirst) {
  RequestQueue queue;
  EXPECT_TRUE(queue.push(queued_of(RequestKind::baseline)).taken);
  for (int i = 0; i < 10; ++i) EXPECT_TRUE(queue.push(queued_of(RequestKind::answer)).taken);

  const auto first = queue.take();
  const auto second = queue.take();

  ASSERT_EQ(first.size(), control::kMaxRequestsPerTick);
  EXPECT_EQ(first[0]->request.kind, RequestKind::baseline);
  EXPECT_EQ(second.size(), 11 - control::kMaxRequestsPerTick);
  EXPECT_TRUE(queue.take().empty());
}

TEST(RequestQueue, IsBoundedButAStopFindsRoom) {
  RequestQueue queue(2);
  EXPECT_TRUE(queue.push(queued_of(RequestKind::hold)).taken);
  EXPECT_TRUE(queue.push(queued_of(RequestKind::hold)).taken);

  const auto full = queue.push(queued_of(RequestKind::hold));
  EXPECT_FALSE(full.taken);
  EXPECT_EQ(full.overtaken.size(), 1U);
  const auto stopped = queue.push(queued_of(RequestKind::stop));

  EXPECT_TRUE(stopped.taken);
  EXPECT_EQ(stopped.overtaken.size(), 2U);
  const auto taken = queue.take();
  ASSERT_EQ(taken.size(), 1U);
  EXPECT_EQ(taken[0]->request.kind, RequestKind::stop);
}

TEST(RequestQueue, SeveralStopsBecomeOneThatAnswersAll) {
  RequestQueue queue;
  int answers = 0;
  (void)queue.push(queued_of(RequestKind::stop, &answers));
  (void)queue.push(queued_of(RequestKind::hold));
  const auto second = queue.push(queued_of(RequestKind::stop, &answers));

  ASSERT_EQ(second.overtaken.size(), 1U);
  EXPECT_EQ(second.overtaken[0]->request.kind, RequestKind::hold);
  const auto taken = queue.take();
  ASSERT_EQ(taken.size(), 1U);
  for (const auto& done : taken[0]->done) done({});
  EXPECT_EQ(answers, 2);
}

TEST(RequestQueue, WhatComesAfterAStopStays) {
  RequestQueue queue;
  (void)queue.push(queued_of(RequestKind::stop));
  (void)queue.push(queued_of(RequestKind::hold));

  const auto taken = queue.take();

  ASSERT_EQ(taken.size(), 2U);
  EXPECT_EQ(taken[0]->request.kind, RequestKind::stop);
}

TEST(RequestQueue, TakesNothingAfterItIsClosed) {
  RequestQueue queue;
  (void)queue.push(queued_of(RequestKind::hold));

  EXPECT_EQ(queue.close().size(), 1U);
  const auto late = queue.push(queued_of(RequestKind::stop));

  EXPECT_FALSE(late.taken);
  EXPECT_EQ(late.overtaken.size(), 1U);
}

}  // namespace leeward::daemon
