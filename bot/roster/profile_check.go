package roster

import (
	"errors"

	"tallybell/content"
)

// CheckProfile reports whether what the store keeps of a person can be read. Its errors hold nothing of the profile.
func CheckProfile(id string, raw []byte) error {
	rec, err := decode(id, raw)
	switch {
	case err != nil:
		return errors.New("a profile that cannot be read")
	case rec.ID != id:
		return errors.New("a profile of another id")
	case rec.Role != RoleMember && rec.Role != RoleCoach:
		return errors.New("a profile of neither a member nor a coach")
	}
	if _, err := content.LoadZone(rec.Zone); err != nil {
		return errors.New("a profile with a time zone that is not known")
	}
	return nil
}
