-- import: a part of a club that is read in from an export.
--
-- KEYS  1 club   2... every key that a command names
-- ARGV  1 step: part | end   2 n   3 lastpost (both for end)
--       4 number of commands, then for each: number of words, then the words
-- returns {'done'}, or {'exists'} when the club has a number line already.
--
-- While the parts come in the club has no number, so it does not exist yet, and an import that broke off may
-- begin again.
local FORMAT = '1'
if redis.call('HGET', KEYS[1], 'n') then return {'exists'} end
local at = 5
for _ = 1, tonumber(ARGV[4]) do
  local words = {}
  local count = tonumber(ARGV[at])
  for i = 1, count do words[i] = ARGV[at + i] end
  at = at + count + 1
  redis.call(unpack(words))
end
if ARGV[1] == 'end' then
  redis.call('HSET', KEYS[1], 'n', ARGV[2], 'lastpost', ARGV[3], 'format', FORMAT)
end
return {'done'}
