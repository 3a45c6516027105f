# The words of owner's documents in English. A hole in braces is filled by the program;
# text of a person is put in as it was typed.

work-summary = Work summary
as-written = What the technician wrote is shown as it was written.

state = State
finished = Finished
in-work = Still in work
owner = Owner
berth = Berth
hin = HIN
engine = Engine
technician = Technician
date = Date

you-told-us = You told us
we-found = We found
we-did = We did

still-to-do = Still to do
nothing = Nothing.
goes-on = The work goes on; no single step is written down.
done = Done
tightened = Tightened
instead = Replaced or left off
parts = Parts
measured = Measured
photos = Photos
photo = Photo
photo-gone = This photo is not in this file.
photo-broken = This photo cannot be shown.

# What is still off; $item is the thing with its size and side.
is-off = { $item }: off
all-off = { $item }: { $off } off
some-off = { $item }: { $off } of { $of } off

# What does not go back on, with a person's reason.
replaced = { $item }: { $count } replaced: { $reason }
left-off = { $item }: { $count } left off: { $reason }

part-number = { $count } × { $part }, no. { $number }

unnamed-engine = engine
serial = serial { $serial }
hours = { $hours } h

# How fasteners lie.
in-circle = { $count } in a circle
in-row = { $count } in a row
in-rows = { $rows } rows of { $count }

# What holds; $name is what the fasteners hold, $layout how they lie.
tight-to = { $name }: { $layout }, tightened to { $torque }, value from { $manual }, page { $page }
tight-by-guidance = { $name }: { $layout }, tightened by general guidance only, { $torque }
tight-unknown = { $name }: { $layout }, tightened without a value from a manual
a-manual = a manual
not-tight = { $name }: not tightened yet
half-tight = { $name }: tightening not done, { $done } of { $of } taps

# Figures.
about = about { $figure }
between = { $low } to { $high }
from-to = { $aim }, from { $low } to { $high }
then-turn = { $torque }, then turn { $degrees }°

recommended = Recommended
agreed = Agreed

# Who asked for a planned visit.
next-visit = Next visit
asked-by-you = at your request
asked-by-us = on our advice
asked-by-other = at the request of { $name }

before-after = Before and after
before = Before
after = After
message-head = { $boat }: { $title }
message-finished = The work is finished.
message-in-work = The work goes on.
to-watch = To watch

page-of = page { $page } of { $count }
not-drawn = {"["}{ $count ->
    [one] { $count } letter
   *[other] { $count } letters
} not drawn]

# Days, as CLDR writes a full date.
full-day = { $style ->
    [us] { $weekday }, { $month } { $day }, { $year }
   *[other] { $weekday } { $day } { $month } { $year }
}
weekday = { $number ->
    [0] Monday
    [1] Tuesday
    [2] Wednesday
    [3] Thursday
    [4] Friday
    [5] Saturday
   *[other] Sunday
}
month = { $number ->
    [1] January
    [2] February
    [3] March
    [4] April
    [5] May
    [6] June
    [7] July
    [8] August
    [9] September
    [10] October
    [11] November
   *[other] December
}
