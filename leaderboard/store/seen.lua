-- seen: how far members have received and opened their conversation, the highest of what is told.
--
-- KEYS  1 club   2 seen   3 members
-- ARGV  for each: member, received, opened
-- returns {'done'}. Who is no member (any more) is left out, so that nothing of them comes back. No number is taken:
-- nothing that anybody is shown in their conversation changes.
local FORMAT = '1'
local written = redis.call('HGET', KEYS[1], 'format')
if written and tonumber(written) > tonumber(FORMAT) then
  return redis.error_reply('NEWERFORMAT this club was written by a newer version, format ' .. written)
end
for i = 1, #ARGV, 3 do
  local member, received, opened = ARGV[i], ARGV[i + 1], ARGV[i + 2]
  if redis.call('HEXISTS', KEYS[3], member) == 1 then
    local r, o = string.match(redis.call('HGET', KEYS[2], member) or '0 0', '^(%d+) (%d+)$')
    if tonumber(r or '0') > tonumber(received) then received = r end
    if tonumber(o or '0') > tonumber(opened) then opened = o end
    redis.call('HSET', KEYS[2], member, received .. ' ' .. opened)
  end
end
return {'done'}
