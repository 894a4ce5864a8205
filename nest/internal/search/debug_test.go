package search
import ("testing";"fmt";"context";"time";"path/filepath";"os")
func TestDebug(t *testing.T) {
	name := os.Getenv("DBG"); if name=="" {t.Skip()}
	p := readInstance(t, filepath.Join(dataDir(t), name+".json"))
	area := p.areaOfPieces()
	last := 0.0
	Minimise(context.Background(), p, Options{Seed: 1, Workers: 2, Deadline: time.Now().Add(10*time.Second), Progress: func(pr Progress){
		d := 100*area/(p.Width*pr.Length)
		if d-last>0.3 { last=d; fmt.Printf("%6.2fs %.2f\n", pr.Elapsed.Seconds(), d) }
	}})
}
