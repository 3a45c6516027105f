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
# What is missing before the engine runs.
do-not-start = Do not start the engine yet
tightening-of = tightening of { $name }
cautions = Cautions
done = Done
tightened = Tightened
instead = Replaced or left off
parts = Parts
measured = Measured
photos = Photos
photo = Photo
photo-gone = This photo is not in this file.
photo-broken = This photo cannot be shown.

# Time, only where the shop lets owners see it.
time-by-work = Time by kind of work
time-as-clocked = Times of this technician as the clock ran, for the work that is charged by time. The bill may round them.
time-labour = Labour
time-diagnosis = Diagnosis

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
# Below a drawing of fasteners with their numbers.
numbered-by-order = The numbers are the order of tightening.
numbered-by-place = The numbers are places; they are tightened in the order { $order }.
not-tight = { $name }: not tightened yet
half-tight = { $name }: not tightened to the end

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

# What a text is, and the text.
labelled = { $label }: { $text }
row = { $first }; { $then }

# An estimate. What is signed is made of these, so in English none may change without reason:
# a text that was signed before would then be told as another.
boat = Boat
work = Work
estimate = Estimate
more-than-estimate = More than the estimate
waiver = Waiver of the estimate
work-accepted = Work accepted
what = What
amount = Amount
in-all = In all
terms = Terms
cost-labour = Labour
cost-supplies = Shop supplies
cost-other = Other
cost-tax = Tax
before-tax = Before tax
total = Total
asked-for = Asked for
made-on = Made on { $day }
promise-itemised = This is an estimate. What goes beyond it is done when you have agreed to it.
promise-at-most = This is the most that the work will cost unless you agree to more.
waiver-term = You waive the written estimate. What is asked for above may be done without one; no cost is agreed beforehand.
valid-until = It may be agreed to until { $day }.
apart-price = Taking apart to find out, and putting together again: { $price }.
apart-destroyed = In that price, since taking apart destroys it: { $what }.
apart-days = If you do not want the repair, it is together again within { $days ->
    [one] { $days } day
   *[other] { $days } days
}.
not-as-it-was = It may not go back as it was: { $why }.
follows-rule = It follows { $law } ({ $covers }). { $counsel }
follows-none = It follows no published rule of repair agreements. { $counsel }
covers-california = vessels used noncommercially; not one in distress that needs work at once
covers-new-jersey = watercraft; not oil changes and minor items
covers-miami-dade = powered boats under 16 feet
counsel = This is no legal advice: local law and counsel decide.

# More than an estimate.
to-the-estimate = To the estimate of { $day }, { $total }
added = Added
added-cost = Added cost
more-work = Work: { $hours } h more

# The work as it was done.
still-off = Still off
lies = { $item }, lies: { $place }

# That somebody agreed: when, by which way, who, to what.
consent = { $when }, { $way }: { $who } agreed to { $what }
the-estimate = the estimate
the-waiver = work without a written estimate, which is waived
the-work = the work as it was done
more-agreed = { $cost } more{ $time }: { $what }
in-person = in person
by-telephone = by telephone
called-number = by telephone (called { $number })
in-writing = in writing
signed = signed
name-as-signature = name typed as signature
somebody-unnamed = somebody unnamed
signature-of = Signature of { $who }
hash-of = SHA-256 of what was signed
state-same = This sheet says what was signed.
state-translated = This sheet says what was signed, in another language. What was signed:
state-differs = This sheet differs from what was signed. What was signed:
state-broken = What is kept as signed does not fit its SHA-256: it was changed after it was signed. What is kept:

# What the owner said to work that was recommended.
accepted = accepted
declined = declined
not-answered = not answered yet

# What was agreed, on the work summary.
estimated = Estimated
agreed-beyond = Agreed beyond it
agreed-in-all = Agreed in all

# A message where the work takes more than was agreed.
overrun-message = { $boat }, { $job }: the work takes more than we agreed.
overrun-hours = Work so far { $clocked } h, agreed { $agreed } h.
overrun-cost = It comes to at least { $cost }; agreed were { $agreed }.
overrun-ask = Please tell us whether and up to which cost we may go on.

# What is drawn on a photo, and where.
drawn-on = { $caption }. Drawn on it: { $marks }.
mark-place = { $ninth ->
    [0] upper left
    [1] top
    [2] upper right
    [3] left
    [4] middle
    [5] right
    [6] lower left
    [7] bottom
   *[other] lower right
}
mark-from-to = line from the { $from } to the { $to }
mark-line = line at the { $place }
mark-nowhere = line
mark-arrow = arrow to the { $place }
mark-ring = ring at the { $place }
mark-words = “{ $words }” at the { $place }

page-of = page { $page } of { $count }

# One document as several files.
part-of = part { $part } of { $count }
first-part = Part 1 of { $count }: everything but the photos that stand in the other parts.
further-part = Part { $part } of { $count }: photos only. Everything else stands in part 1.
photos-elsewhere = { $count ->
    [one] 1 photo stands in another part.
   *[other] { $count } photos stand in other parts.
}

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
