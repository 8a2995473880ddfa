// rooms.tsx: the pages about the studio itself, one beside the other.
import { usePlace } from "../desk/router";
import { useIsCoach } from "../desk/session";

const rooms: [string, string, boolean][] = [
  ["/settings", "Settings", false],
  ["/accounts", "Accounts", true],
  ["/files", "Files in and out", false],
  ["/access", "Who looked", true],
];

export function StudioRooms() {
  const { path } = usePlace();
  const isCoach = useIsCoach();
  return (
    <nav class="rooms" aria-label="Studio">
      <ul>
        {rooms
          .filter(([, , coach]) => isCoach || !coach)
          .map(([address, words]) => (
            <li key={address}>
              <a href={address} aria-current={path === address ? "page" : undefined}>
                {words}
              </a>
            </li>
          ))}
      </ul>
    </nav>
  );
}
