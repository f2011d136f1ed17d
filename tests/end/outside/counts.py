"""Most probable numbers by their own likelihood: the number at which it is greatest.

The likelihood is that of Cochran (1950): each tube of amount z is positive with probability
1 - exp(-L z). It is searched here by golden section on ln L, which uses no derivative, unlike
the equation that Weirbook solves.
"""
import itertools
import math
import line


def log_likelihood(log_number, positive, tubes, amounts):
    number = math.exp(log_number)
    total = 0.0
    for some, all_of_them, amount in zip(positive, tubes, amounts):
        if some:
            total += some * math.log(-math.expm1(-number * amount))
        total -= (all_of_them - some) * number * amount
    return total


def greatest(positive, tubes, amounts):
    low, high = math.log(1e-9), math.log(1e9)
    ratio = (math.sqrt(5) - 1) / 2
    for _ in range(400):
        left, right = high - ratio * (high - low), low + ratio * (high - low)
        if (log_likelihood(left, positive, tubes, amounts)
                > log_likelihood(right, positive, tubes, amounts)):
            high = right
        else:
            low = left
    return math.exp((low + high) / 2)


def lines():
    layouts = (((3, 3, 3), (0.1, 0.01, 0.001)), ((5, 5, 5), (10, 1, 0.1)),
               ((5, 3, 2), (1, 0.2, 0.05)), ((10,), (10,)), ((4, 4, 4, 4), (10, 1, 0.1, 0.01)))
    count = 0
    for tubes, amounts in layouts:
        for positive in itertools.product(*(range(n + 1) for n in tubes)):
            if not any(positive) or positive == tubes:
                continue
            expected = greatest(positive, tubes, amounts)
            count += 1
            line.line(f"MPN-{count}", "MPN",
                      [("pos", ",".join(map(str, positive))),
                       ("tubes", ",".join(map(str, tubes))),
                       ("amt", ",".join(map(str, amounts)))],
                      expected, expected * 2e-7, "likelihood of Cochran (1950), searched")


line.header()
lines()
